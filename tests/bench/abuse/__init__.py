"""What sixteen clients that abuse a server do to everybody else, and what its dearest answers cost."""
