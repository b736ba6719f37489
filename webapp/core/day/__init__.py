"""A person's day in intervals of time. `day.py` alone in core knows time zones."""
