"""What every verb may use: rulesets, glossary, storage. Built once by the composition root."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.content import ContentError
from bot.glossary import Glossary
from resolver.ruleset import Ruleset

if TYPE_CHECKING:
    from bot.ledger import Ledger, Memory, Storage
    from bot.rulesets import Rulesets

DEFAULT_RULESET = "standard"


@dataclass(frozen=True)
class House:
    """The umpire's shelf. `default_ruleset` is used where a channel has not chosen its own."""

    rulesets: Rulesets
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
        """The ruleset that the channel plays by. Raises ContentError if its file cannot be used."""
        settings = self.memory.recall(where)
        chosen = settings.get("ruleset", self.default_ruleset)
        ruleset = self.rulesets[chosen if chosen in self.rulesets else self.default_ruleset]
        return self._layered(ruleset, settings["layers"]) if settings.get("layers") else ruleset

    def read_by(self, where: str) -> Ruleset:
        """The ruleset that messages are read by: the default where the channel's cannot be used, to choose another."""
        try:
            return self.ruleset(where)
        except ContentError:
            return self.rulesets[self.default_ruleset]

    def played(self, id: str, where: str) -> Ruleset:
        """The ruleset that something was played by, or the channel's if it is here no more."""
        return self.rulesets[id] if id in self.rulesets else self.ruleset(where)

    def _layered(self, ruleset: Ruleset, layers: list[str]) -> Ruleset:
        """The first game with what the channel's lessons have brought back."""
        from bot.layers import FIRST_GAME, WHOLE_GAME, layered

        if ruleset.id != FIRST_GAME or WHOLE_GAME not in self.rulesets:
            return ruleset
        taught = [lesson for id, lesson in self.glossary.lessons.items() if id in layers]
        return layered(ruleset, self.rulesets[WHOLE_GAME], taught)
