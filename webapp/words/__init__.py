"""What a person reads: sentences made from facts when they are shown."""
