"""What a kitchen keeps: its bakes and their book, its phones, its busy times, all of it to take along."""
