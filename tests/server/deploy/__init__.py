"""What `webapp/deploy/` holds, read and held against the app itself."""
