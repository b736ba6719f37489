"""Text that people type into records, and records back into text for a form."""
