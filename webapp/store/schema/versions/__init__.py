"""One file for each change of the tables, in the order of their names. A file that went out is never changed."""
