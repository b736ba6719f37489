"""Values from outside: published doughs, worked examples, general-purpose reference libraries."""
