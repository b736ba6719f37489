"""What is wrong with what a person asked, in their words: every `Problem`, and a day that has no room."""
