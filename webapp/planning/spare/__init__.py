"""A piece of a dough that is mixed already, for another evening."""
