"""Plan a bake: the questions, the offers, the week."""
