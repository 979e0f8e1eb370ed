"""What every verb may use: rulesets, glossary, ledger. Built once by the composition root."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bot.glossary import Glossary
from bot.ledger import Ledger
from resolver.ruleset import Ruleset

DEFAULT_RULESET = "standard"


@dataclass(frozen=True)
class House:
    """The umpire's shelf. `default_ruleset` is used where a channel has not chosen its own."""

    rulesets: Mapping[str, Ruleset]
    glossary: Glossary
    ledger: Ledger
    default_ruleset: str = DEFAULT_RULESET

    def ruleset(self, where: str) -> Ruleset:
        """The ruleset that the channel plays by."""
        settings = self.ledger.recall(where)
        chosen = settings.get("ruleset", self.default_ruleset)
        ruleset = self.rulesets.get(chosen, self.rulesets[self.default_ruleset])
        return self._layered(ruleset, settings["layers"]) if settings.get("layers") else ruleset

    def _layered(self, ruleset: Ruleset, layers: list[str]) -> Ruleset:
        """The first game with what the channel's lessons have brought back."""
        from bot.layers import FIRST_GAME, WHOLE_GAME, layered

        if ruleset.id != FIRST_GAME or WHOLE_GAME not in self.rulesets:
            return ruleset
        taught = [lesson for id, lesson in self.glossary.lessons.items() if id in layers]
        return layered(ruleset, self.rulesets[WHOLE_GAME], taught)
