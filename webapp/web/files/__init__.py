"""What a page is sent with: style sheets and scripts joined into one file each, and everything compressed."""
