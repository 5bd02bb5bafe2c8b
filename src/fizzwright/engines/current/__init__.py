"""The water carried round the tank: its current, the mist in it, dissolved gas, and how each bed fares."""
