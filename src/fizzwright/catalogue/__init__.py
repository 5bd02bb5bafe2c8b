"""Tables of data with their sources and marks; no brands, no sums beyond a lookup."""
