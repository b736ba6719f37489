"""What past bakes teach about this kitchen."""
