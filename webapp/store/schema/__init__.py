"""How a database gets its tables, and goes on from those of an earlier version."""
