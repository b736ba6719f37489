"""The one Store: everything the server remembers, in one SQLite file or a PostgreSQL database."""
