"""Bubbles: how they rise, dissolve, linger and escape, one by one and as a cloud."""
