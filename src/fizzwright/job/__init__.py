"""The model of one job and its file."""
