"""What rings: calendar files, events with their history, CalDAV, push messages."""
