"""What is different between the databases that the store can be kept in; all questions are the same."""
