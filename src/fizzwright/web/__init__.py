"""The pages: what the workshop knows, shown to a laptop and a phone; computes nothing."""
