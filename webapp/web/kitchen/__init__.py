"""The kitchen's settings, its oven, its phones, taking everything along."""
