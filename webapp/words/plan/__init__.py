"""What a plan says: its steps, its weights, its oven, how it rises, and how one offer differs from another."""
