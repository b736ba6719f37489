"""From a wish to the planner's question, to offers, to a plan in full."""
