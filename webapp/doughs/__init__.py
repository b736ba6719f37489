"""The larder: shipped and own formulas, toppings and methods."""
