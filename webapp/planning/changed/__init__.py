"""What a change of the household's settings does to bakes that are planned already."""
