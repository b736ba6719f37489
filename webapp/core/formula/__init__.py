"""What a dough is made of and what is done to it: formulas, preferments, methods, toppings, allergens."""
