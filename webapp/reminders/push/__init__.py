"""Push messages to browsers."""
