"""The water: carbonate balance, kit readings, dissolved gases and the surface."""
