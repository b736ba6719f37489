"""A person's busy times: read from calendar files, kept for the planner."""
