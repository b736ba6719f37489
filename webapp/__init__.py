"""Suppertide: the dough waits for the person. This file stays a docstring, so that core imports stay light."""
