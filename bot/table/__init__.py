"""The table: what bot/game.py folds, in the words that verbs answer with."""
