"""The pure centre: standard library only; no I/O, no clock, no randomness. Importing it imports nothing else."""
