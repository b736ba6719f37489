"""The person's own calendar on a CalDAV server."""
