"""What goes into the bowl, and how warm: the dough as a wish gives it, the water that brings it there."""
