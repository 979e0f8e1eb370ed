"""A recorded attack made again from the record: its plan under today's rules, and its faces as a source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.requests.attack import Odds, Roll
from resolver.live import Throw
from resolver.plan import Plan, plan


def planned(entry: Entry, house: House) -> Plan:
    """The plan of a recorded attack under today's version of its ruleset."""
    text = entry.data.get("attack")
    if not isinstance(text, str):
        raise Misread(f"#{entry.id} is no attack, so it has no needs", hint=f"show #{entry.id}")
    ruleset = house.played(entry.ruleset, entry.channel)
    request = read(text, Context(ruleset=ruleset))
    assert isinstance(request, Odds | Roll), f"{text} reads back as an attack"
    return plan(request.attack, ruleset)


class Differs(Exception):
    """Today's rules ask for other dice than those that were recorded."""


class Recorded:
    """The recorded faces, step by step: a die is its face, then the face of its re-roll."""

    def __init__(self, groups: Sequence[Mapping[str, Sequence[Sequence[int]]]]) -> None:
        self._left = [{step: [list(die) for die in dice] for step, dice in group.items()} for group in groups]
        self._last: dict[tuple[int, str], list[list[int]]] = {}

    def __call__(self, throw: Throw) -> list[int]:
        """The faces for a handful."""
        place = (throw.weapon, throw.step)
        if throw.again:
            faces = [die[1] for die in self._last.get(place, []) if len(die) > 1]
        else:
            dice = self._left[throw.weapon].get(throw.step, []) if throw.weapon < len(self._left) else []
            self._last[place], rest = dice[: throw.count], dice[throw.count :]
            if throw.weapon < len(self._left):
                self._left[throw.weapon][throw.step] = rest
            faces = [die[0] for die in self._last[place]]
        if len(faces) != throw.count or not all(1 <= face <= throw.sides for face in faces):
            again = " again" if throw.again else ""
            raise Differs(f"the {throw.step} step asks for {throw.count}d{throw.sides}{again}, recorded were {faces}")
        return faces

    def check_used(self) -> None:
        """Every recorded die was asked for."""
        for group in self._left:
            for step, dice in group.items():
                if dice:
                    raise Differs(f"the {step} step asks for {len(dice)} dice fewer than were recorded")
