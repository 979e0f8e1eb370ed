"""Questions about the rules: words to concepts, concepts to a question, a question to the ruling that covers it."""
