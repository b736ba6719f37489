"""What a change does: of the household's settings to bakes that are planned, of one answer to the day that is shown."""
