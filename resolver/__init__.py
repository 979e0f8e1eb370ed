"""Pure numbers and rules: attacks rolled, reckoned and explained. No files, clock, randomness or async."""
