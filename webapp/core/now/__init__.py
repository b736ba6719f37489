"""What is left of a bake, given what happened. Twins of static/js/now: same names, same arithmetic, same order."""
