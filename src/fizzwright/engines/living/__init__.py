"""What lives in the tank: plants that take CO2, animals and bottom that give it, and what they bear."""
