"""The book: what was baked and how it came out."""
