"""Calendars, push messages, what rings."""
