"""What the kitchen screen is made of: its shell and its JSON API."""
