"""An attack said before with something of it changed: "what about S5?", "same but in cover", "… or S5 into T4".

What is said replaces what stood there; everything else stays.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bot.misread import Misread, Unsure
from bot.reading.atoms import Line
from bot.reading.build import attack_of
from bot.reading.context import Context
from bot.reading.draft import Draft, Part
from bot.reading.intent import intent_of
from bot.reading.levels import level_within, with_level
from bot.reading.message import Message
from bot.reading.scan import scan
from bot.reading.synonyms import line_of
from bot.requests.attack import Odds
from resolver.attack import Attack

_HEAD = re.compile(
    r"(?:(?:and|so|ok|okay|hmm|now|then|but|well|,) )*"
    r"(?:(?:what about|how about|what if|and if|what happens if|(?:the )?same(?: (?:again|thing|attack|1))?|again"
    r"|make (?:it|that|them)|try)(?: (?:but|if|when|it|they|that|there|i|we|was|were|is|are|instead|:|,))*(?= |$)"
    r"|(?<=and )(?=(?:with|in|at|against|into|no|not) )|(?=(?:in|against|into) ))"
)
_BY_NAME = re.compile(r"\b(?:what|how) about\b")  # may be about the thing itself: "what about cover?"
_TAIL = re.compile(r"(?: (?:instead|then|now|[?.!,]))*$")
_NUMBER = re.compile("[0-9]")
# What a new value puts out of place, beside the value that stood there.
_DISPLACED: Mapping[str, tuple[str, ...]] = {
    "attacks": ("each", "in_all", "stat"),
    "strength": ("wound",),
    "distance": ("half",),
    "half": ("distance",),
    "half_double": ("half_plus",),
    "half_plus": ("half_double",),
}


@dataclass(frozen=True)
class Varied:
    """One reading of a change, as the attack that it makes."""

    attack: Attack
    notes: tuple[str, ...]


def again(message: Message, last: str, context: Context) -> Odds | None:
    """The last attack with what the message changes; None if the message is not one that changes it.

    The level that was asked for stays, unless the message asks for another.
    """
    line = line_of(message, context.synonyms)
    head = _HEAD.match(line.text)
    if head is None:
        return None
    tail = _TAIL.search(line.text)
    end = tail.start() if tail is not None else len(line.text)
    if end <= head.end():
        return None
    words = line.part(line.index(head.end() + (line.text[head.end()] == " ")), line.index(end - 1) + 1)
    typed = message.text[slice(*words.place)]
    if _BY_NAME.search(head[0]) and not _NUMBER.search(typed) and context.is_term(typed):
        return None
    before, asked = line_of(Message(last), {}), level_within(words)
    kept = level_within(before)
    change = _scanned(words if asked is None else asked.rest, context)
    base = _scanned(intent_of(before if kept is None else kept.rest)[1], context)
    if change is None or base is None or _is_own(change, alone=not head[0].strip()):
        return None
    try:
        read = _changes(change, base, words, context)
        if asked is not None and not read:
            read = [Varied(*attack_of(base, before, context.ruleset))]
    except (Misread, Unsure) as wrong:
        raise Misread(f"the last attack with this changed: {wrong.message}", words.place, hint=last) from None
    requests = [Odds(one.attack, None if kept is None else kept.level, one.notes) for one in read]
    if asked is not None:
        requests = [with_level(request, asked) for request in requests]
    if len(requests) > 1:
        raise Unsure("which is changed?", tuple(map(str, requests)))
    return requests[0] if requests else None


def variant(option: Line, first: Line, context: Context) -> Varied | None:
    """An option that says only what is other than in the first one; None if it may be read in two ways."""
    change, base = scan(option, context.ruleset.die), scan(first, context.ruleset.die)
    if all(name.startswith("reroll_") for part in _parts(change) for name in part.fields):
        for part in _parts(base):  # "re-roll hits or re-roll wounds" is one or the other
            part.fields = {name: said for name, said in part.fields.items() if not name.startswith("reroll_")}
    read = _changes(change, base, option, context)
    return read[0] if len(read) == 1 else None


def _scanned(words: Line, context: Context) -> Draft | None:
    """What the words say; None if they are not clauses from end to end, or raise questions of their own."""
    try:
        said = scan(words, context.ruleset.die)
    except Misread:
        return None
    return None if said.doubts else said


def _is_own(change: Draft, alone: bool) -> bool:
    """Whether this is an attack of its own.

    Where it stands `alone`, without "what about" or the like, it begins one if it says a number of attacks.
    """
    said = change.weapons[0].fields
    return "attacks" in said and (alone or ("hit" in said and _has_target(change)))


def _changes(change: Draft, base: Draft, line: Line, context: Context) -> list[Varied]:
    """Every reading of a change; none where nothing is changed."""
    return [Varied(*attack_of(_over(base, one), line, context.ruleset)) for one in _readings(change, base)]


def _has_target(change: Draft) -> bool:
    parts = (*change.groups, change.all_groups)
    return "toughness" in change.unit.fields or any("save" in part.fields for part in parts)


def _readings(change: Draft, base: Draft) -> Iterator[Draft]:
    """As it stands; and where a number of models or a bare number may be the target's, as that too.

    Models are the target's alone where the attacks were said in all, and not by models.
    """
    said = change.weapons[0].fields
    if not any(part.fields for part in _parts(change)):
        return
    in_all = not any("models" in weapon.fields for weapon in (*base.weapons, base.all_weapons))
    if "models" not in said or "attacks" in said or not in_all:
        yield change
    if "models" in said and "attacks" not in said:
        yield _moved(change, "models", "models")
    elif "bare" in said:
        yield _moved(change, "hit", "save")


def _moved(change: Draft, name: str, into: str) -> Draft:
    """The change with one field given to the target."""
    weapon, group = Part(dict(change.weapons[0].fields)), Part(dict(change.groups[0].fields))
    group.fields[into] = weapon.fields.pop(name)
    return Draft(
        weapons=[weapon],
        all_weapons=change.all_weapons,
        groups=[group],
        all_groups=change.all_groups,
        unit=change.unit,
        shot=change.shot,
    )


def _parts(draft: Draft) -> tuple[Part, ...]:
    return (*draft.weapons, draft.all_weapons, *draft.groups, draft.all_groups, draft.unit, draft.shot)


def _over(base: Draft, change: Draft) -> Draft:
    """The base with the change laid over it; what is said of one group of several must be said whole."""
    weapon = change.merged(change.weapons[0], change.all_weapons)
    group = change.merged(change.groups[0], change.all_groups)
    one_each = len(base.weapons) == 1 or not weapon.fields, len(base.groups) == 1 or not group.fields
    if not all(one_each) or len(change.weapons) > 1 or len(change.groups) > 1:
        raise Misread("with several groups, say it whole")
    return Draft(
        weapons=[_laid(base.merged(one, base.all_weapons), weapon) for one in base.weapons],
        groups=[_laid(base.merged(one, base.all_groups), group) for one in base.groups],
        unit=_laid(base.unit, change.unit),
        shot=_laid(base.shot, change.shot),
    )


def _laid(under: Part, over: Part) -> Part:
    gone = {name for said in over.fields for name in _DISPLACED.get(said, ())}
    if "attacks" in over.fields and not over.get("each"):
        gone.add("models")  # "20 shots" in place of "5 models with 2 shots each"
    kept = {name: said for name, said in under.fields.items() if name not in gone}
    return Part({**kept, **over.fields}, under.end)
