"""What to do in a phase, and what a ruling says: plain values that the YAML of the glossary fills."""

from __future__ import annotations

from dataclasses import dataclass

from resolver.refused import Refused
from resolver.ruleset import Feature


@dataclass(frozen=True, kw_only=True)
class PhaseGuide:
    """The ordered steps of one phase. Which phase comes next is the ruleset's business."""

    id: str
    title: str
    about: str
    steps: tuple[str, ...]
    may: tuple[str, ...] = ()
    may_not: tuple[str, ...] = ()
    slips: tuple[str, ...] = ()
    entry: str

    def __post_init__(self) -> None:
        if not self.steps:
            raise Refused("steps", "a phase has at least one step")


@dataclass(frozen=True, kw_only=True)
class Ruling:
    """One settled question.

    `yes`, `no`, `depends` and `fact` are the shapes of the questions that it answers, each a line of words
    of the lexicon ("natural-1 always fail"; "hit|wound" is either word); `also` are words that may stand in
    such a question without changing the answer. `because` and `otherwise` may carry {names} of values of
    the ruleset. `holds` names the statement about the ruleset on which the answer hangs: where it is false,
    yes and no change places and `otherwise` is the reason. `limit` names the ruleset's distance with which
    a measured question is compared. `feature` is what the ruleset must know for the ruling to matter.
    `scenery` marks what only the players can see: then any other words may stand in the question. `one_side`
    marks what is settled only where what is told and what is asked are of the same player.
    """

    id: str
    entry: str
    because: str
    yes: tuple[str, ...] = ()
    no: tuple[str, ...] = ()
    depends: tuple[str, ...] = ()
    fact: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    feature: Feature | None = None
    holds: str = ""
    otherwise: str = ""
    limit: str = ""
    scenery: bool = False
    one_side: bool = False

    def __post_init__(self) -> None:
        if not (self.yes or self.no or self.depends or self.fact):
            raise Refused("yes", f"the ruling {self.id} answers no question")
        if self.scenery and (self.yes or self.no):
            raise Refused("scenery", f"the ruling {self.id} hangs on the table, so it only depends")
        if bool(self.holds) != bool(self.otherwise):
            raise Refused("otherwise", "otherwise goes with holds, and with nothing else")


@dataclass(frozen=True, kw_only=True)
class RulingFile:
    """One family of rulings: one file."""

    family: str
    title: str
    rulings: tuple[Ruling, ...]
