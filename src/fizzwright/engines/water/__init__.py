"""The water: carbonate balance, kits, dissolved gases, the surface, drop checkers, mixing and slow drift."""
