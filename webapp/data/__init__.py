"""The shipped tables (TOML, each row with its source) and their readers."""
