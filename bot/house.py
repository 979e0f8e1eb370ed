"""What every verb may use: rulesets, glossary, storage. Built once by the composition root."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.glossary import Glossary
from resolver.ruleset import Ruleset

if TYPE_CHECKING:
    from bot.ledger import Ledger, Memory, Storage

DEFAULT_RULESET = "standard"


@dataclass(frozen=True)
class House:
    """The umpire's shelf. `default_ruleset` is used where a channel has not chosen its own."""

    rulesets: Mapping[str, Ruleset]
    glossary: Glossary
    storage: Storage
    default_ruleset: str = DEFAULT_RULESET

    @property
    def memory(self) -> Memory:
        """What is remembered of each channel and person."""
        return self.storage.memory

    @property
    def ledger(self) -> Ledger:
        """The record of every channel."""
        return self.storage.ledger

    def ruleset(self, where: str) -> Ruleset:
        """The ruleset that the channel plays by."""
        settings = self.memory.recall(where)
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
