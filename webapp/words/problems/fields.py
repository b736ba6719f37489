"""What a field is called where a sentence says that its answer is missing ("The size needs a number")."""

from __future__ import annotations

THIS, IT = "This", "It"  # where the field's own label stands beside it
# A dough, what goes on it.
FORMULA, INGREDIENT, WHAT_IT_IS, YEAST = "The formula", "The ingredient", "What it is", "The yeast"
ITS_FLOUR, ITS_WATER, ITS_YEAST = "Its flour", "Its water", "Its yeast"  # of a preferment
METHOD, STEP = "The method", "The step"
SET, TOPPING, TRAY = "The set", "The topping", "The tray"
# What it is baked in and on.
SHAPE, SIZE, WATER = "The shape", "The size", "The water"
SLAB, THICKNESS = "The slab", "Its thickness"
# An evening.
SUPPER, WHICH_DOUGH, PIECE = "Supper", "Which dough", "The piece"
PERSON = "This person"
