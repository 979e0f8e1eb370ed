"""One frozen dataclass for each thing that can be asked; str() is the canonical message, which reads back equal."""
