"""What the kitchen screen says beside a plan: it travels in every bundle."""
