"""What has been said so far: fields by part of the attack, each with the words that said it.

A field said twice alike is harmless; said differently it is a contradiction that shows both places.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bot.misread import Misread, Span
from bot.reading.clause import Doubt, Found
from resolver.attack import Reroll

_APART = {
    **dict.fromkeys(("models", "attacks"), '"plus" stands between weapon groups, "then" between target groups'),
    "toughness": "all groups of a target have one toughness",
}
_WIDTH = {Reroll.ONES: 1, Reroll.FAILED: 2, Reroll.NON_CRITICAL: 3}


@dataclass(frozen=True)
class Said:
    """One field's value, the place of its words, and the words."""

    value: Any
    span: Span
    words: str


@dataclass
class Part:
    """The fields of one weapon group, one target group, or of all of them.

    `end` is where its words end; `single` is a word such as "model" that speaks of one without a number.
    """

    fields: dict[str, Said] = field(default_factory=dict)
    end: int = 0
    single: Said | None = None

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a field, or the default when nothing was said."""
        said = self.fields.get(name)
        return default if said is None else said.value


@dataclass
class Draft:
    """Everything said of one attack."""

    weapons: list[Part] = field(default_factory=lambda: [Part()])
    all_weapons: Part = field(default_factory=Part)
    groups: list[Part] = field(default_factory=lambda: [Part()])
    all_groups: Part = field(default_factory=Part)
    unit: Part = field(default_factory=Part)
    shot: Part = field(default_factory=Part)
    faces: Said | None = None
    into: Span | None = None
    doubts: list[Doubt] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    trace: list[tuple[str, Said]] = field(default_factory=list)

    def put(self, part: Part, name: str, said: Said) -> None:
        """Note a field of a part, or complain of a contradiction."""
        before = part.fields.get(name)
        if before is None:
            part.fields[name] = said
        elif before.value != said.value:
            part.fields[name] = self._settled(name, before, said)

    def _settled(self, name: str, before: Said, said: Said) -> Said:
        """What holds when a field was said twice, differently."""
        if name == "each":
            return before if before.value else said
        if name.startswith("reroll_"):
            return self._widest(name.removeprefix("reroll_"), before, said)
        first, second = sorted((before, said), key=lambda one: one.span)
        raise Misread(
            f'"{first.words}" and "{second.words}" contradict each other',
            second.span,
            also=first.span,
            hint=_APART.get(name),
        )

    def _widest(self, step: str, before: Said, said: Said) -> Said:
        if Reroll.ONE_FAILED in (before.value, said.value):
            message = f'"{before.words}" or "{said.words}"? Only one re-roll of a {step} applies'
            self.doubts.append(Doubt(message, (((said.span, ""),), ((before.span, ""),))))
            return before
        widest = max(before, said, key=lambda one: _WIDTH[one.value])
        self.notes.append(f'two re-rolls to {step}: the widest applies, "{widest.words}"')
        return widest

    def note_doubts(self, found: Found) -> None:
        """Keep the questions that a clause raised."""
        self.doubts += found.doubts

    def merged(self, own: Part, common: Part) -> Part:
        """A group with what was said of all groups."""
        both = Part(dict(own.fields), own.end)
        for name, said in common.fields.items():
            self.put(both, name, said)
        return both


def fields_of(part: Part) -> Mapping[str, Any]:
    """The plain values of a part."""
    return {name: said.value for name, said in part.fields.items()}
