"""The outlets: each turns its own events into text and paints a Reply. They never import each other."""
