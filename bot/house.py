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
        chosen = self.ledger.recall(where).get("ruleset", self.default_ruleset)
        return self.rulesets.get(chosen, self.rulesets[self.default_ruleset])
