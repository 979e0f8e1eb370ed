"""The chat side of Drumhead: words in, replies out."""
