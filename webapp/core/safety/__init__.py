"""What can hurt, and whom: allergens in the dough and on top, cautions for a plan."""
