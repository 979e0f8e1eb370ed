"""An attack one handful at a time: what to pick up next, which number counts and why.

The walk is the live roll itself, fed with the faces known so far and stopped where they end; so a lesson and a
roll can't disagree, and a lesson can be taken up again from its faces alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.wording import plural
from resolver.check import Check
from resolver.live import Rolled, Throw, roll
from resolver.plan import Plan


class _Next(Exception):
    """The faces known so far are used up, and this is the next handful."""

    def __init__(self, throw: Throw) -> None:
        super().__init__(throw.step)
        self.throw = throw


@dataclass(frozen=True)
class Walked:
    """How far the faces lead: `done` are the handfuls thrown, `next` is the one to throw, `rolled` the end."""

    done: tuple[tuple[Throw, tuple[int, ...]], ...]
    next: Throw | None
    rolled: Rolled | None


def walk(planned: Plan, handfuls: Sequence[Sequence[int]]) -> Walked:
    """Walk the attack with these handfuls of faces, in the order asked."""
    left = [tuple(faces) for faces in handfuls]
    done: list[tuple[Throw, tuple[int, ...]]] = []

    def source(throw: Throw) -> Sequence[int]:
        if not left:
            raise _Next(throw)
        faces = left.pop(0)
        done.append((throw, faces))
        return faces

    try:
        rolled = roll(planned, source)
    except _Next as stopped:
        return Walked(tuple(done), stopped.throw, None)
    return Walked(tuple(done), None, rolled)


def dice_words(throw: Throw) -> str:
    """How many dice to pick up: "16 dice", "1 three-faced die"."""
    faces = "" if throw.sides == 6 else f"{throw.sides}-faced "
    return f"{throw.count} {faces}{'die' if throw.count == 1 else 'dice'}"


def pick_up(throw: Throw, weapon: str) -> tuple[str, ...]:
    """What the next handful is for, in lines: how many dice, which number counts, why."""
    doing = _DOING.get(throw.step, throw.step)
    again = " again" if throw.again else ""
    lines = [f"{doing}{weapon}: pick up {dice_words(throw)}{again}."]
    check = throw.check
    if check is not None and check.needed:
        lines.append(_needed(check, throw.step))
    else:
        lines.append("Add the faces up." if throw.count > 1 else "The face is the number.")
    if throw.sides == 3:
        lines.append("A six-sided die serves as well: 1-2 is 1, 3-4 is 2, 5-6 is 3. Type 1 to 3.")
    if check is not None:
        lines += [f"Why: {reason}." for reason in check.reasons]
    return tuple(lines)


_DOING = {
    "attacks": "How many attacks",
    "hit": "To hit",
    "extra": "Extra hits",
    "wound": "To wound",
    "save": "The target saves",
    "damage": "Damage",
    "ignore": "Ignoring wounds",
}


def _needed(check: Check, step: str) -> str:
    if check.needed > check.sides:
        return "Nothing reaches the number needed."
    counts = {"save": "saves", "ignore": "ignores the wound", "hit": "hits", "wound": "wounds"}.get(step, "succeeds")
    return f"{check.text} {counts}: each die that shows {check.needed} or more."


def outcome(throw: Throw, faces: Sequence[int]) -> str:
    """What a handful came to."""
    check = throw.check
    if check is None or not check.needed:
        return f"{throw.step}: {' '.join(map(str, faces))}, {sum(faces)} in all"
    good = sum(check.succeeds(face) for face in faces)
    shown = " ".join(map(str, sorted(faces, reverse=True)))
    return f"{throw.step} {check.text}: {shown}, {good} of {len(faces)}"


def wrong_faces(throw: Throw, faces: Sequence[int]) -> str | None:
    """What is wrong with faces typed for a handful, kindly; None if they fit."""
    if len(faces) != throw.count:
        typed = plural(len(faces), "face")
        return f"this step takes {dice_words(throw)}, and you typed {typed}"
    strange = [face for face in faces if not 1 <= face <= throw.sides]
    if strange:
        return f"a {throw.sides}-faced die shows 1 to {throw.sides}, not {strange[0]}"
    return None
