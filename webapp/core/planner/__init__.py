"""Fits a dough into a day: the exact search, what it costs, what it offers, why nothing fits."""
