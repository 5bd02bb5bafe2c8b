"""Single sums: a question, an answer with its band, and how it was made."""
