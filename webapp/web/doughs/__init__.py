"""Formulas, methods and toppings."""
