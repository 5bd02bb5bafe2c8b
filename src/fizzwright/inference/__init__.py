"""What readings say about a tank, and how doubt in the inputs spreads into the answers."""
