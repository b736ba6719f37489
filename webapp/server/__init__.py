"""The server process and what it does while nobody asks."""
