"""What is said of the attack at hand: closer, with something changed, mended in plain words, one of those compared.

closer   = ("should" | "is it worth") … ("closer" | "half range")
varied   = "what about" CHANGE, and the like (bot/reading/varied.py)
mended   = ["sorry,"] ["it was"] CHANGE ["sorry"]
leveled  = LEVEL ["?"]                       "at least 2 slain" (bot/reading/levels.py)
compared = ["roll"] LETTER
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from string import ascii_lowercase
from typing import Any

from bot.misread import Misread, Unsure
from bot.reading.context import Context
from bot.reading.filler import PUNCTUATION
from bot.reading.message import Message
from bot.reading.names import find
from bot.reading.said import Said
from bot.requests.action import Strike
from bot.requests.attack import Compare, Odds, Roll
from bot.requests.talk import Closer, Mend

Reader = Callable[[str, Context], Any]

_CLOSE = r"(?:close|closing|move|moving|get|getting|go|going|walk|walking|step|stepping|advance|come|coming)"
_NEARER = (
    r"(?:(?: (?:closer|nearer|in closer|up closer))(?: to (?:them|him|it|the enemy|the target))?(?: first)?"
    r"|(?: closer)?(?: (?:up|in|to|into|within|inside|the|for))* (?:half|half range|half distance)(?: range)?)[ ?.!]*"
)
_CLOSER = re.compile(
    r".{0,20}?\b(?:should (?:i|we|they)|is it (?:better|worth(?: it)?|good)|worth|better to|what if (?:i|we))"
    rf" (?:it )?(?:to )?{_CLOSE}{_NEARER}"
)
_UNIT_CLOSER = rf"(?:(?:so|and|ok),? )?(?:should|would it help if|is it better if|what if) @unit {_CLOSE}{_NEARER}"
_VARIES = re.compile(
    r"\W*(?:and|so|ok|okay|hmm|now|then|but|well|what|how|the|same|again|make|try|in|against|into)\b"
)
_HEAD = re.compile(
    r"\W*(?:(?:and|so|but|ok|okay|hmm) )*(?:(?:what|how) (?:about|if)|(?:the )?same(?: (?:but|again|attack|thing))*)"
    r"(?: (?:it is|it's|they are|i am|with|if))* "
)
_PARDON = r"(?:sorry|oops|whoops|wait|hang on|no(?=[,.!:])|ah|oh|actually|my mistake|my bad|correction|i forgot)"
_WAS = (
    r"(?:(?:it|that|this|they|he|she|the (?:target|enemy|models?|unit)) (?:was|were|is|are|had|has|'s)"
    r"(?: (?:actually|really))?|i mean|i meant|i meant to say|i forgot(?: (?:that )?(?:it|they) (?:was|were))?)"
)
_MENDED = re.compile(
    rf"\W*(?P<pardon>(?:{_PARDON}[,.!: -]+(?:but )?)*)(?P<was>{_WAS} )?(?P<change>.+?)"
    rf"(?P<behind>(?:[,.!]* {_PARDON})?)[ .!]*"
)
_COVER = re.compile(r"(?:(?:they|it) (?:was|were) )?(?:(?:not )?in|no|with|without) cover|in the open")
_LETTER = re.compile(
    r"(?P<roll>(?:ok |okay |then |please )*(?:roll|throw|do|take|go with|fire|use) )?(?:the )?"
    r"(?:option |attack |number |choice )?(?P<letter>[a-f])(?: (?:then|please|it is|1|one))*[ .!]*"
)


def of_the_attack_at_hand(message: Message, context: Context, read: Reader) -> object | None:
    """The request that the message makes of what was spoken of last, if it makes one."""
    return (
        _compared(message, context, read)
        or _closer(message, context, read)
        or _mended(message, context, read)
        or _varied(message, context, read)
        or _leveled(message, context, read)
    )


def closing_in(said: Said, context: Context) -> Closer | None:
    """ "should the Wardens close to half range?", at whomever they stand at a known distance from."""
    match = find(said, context.units, _UNIT_CLOSER)
    return None if match is None else Closer(Strike(unit=said.words(match, "unit"), action="shoot", odds=True))


def _at_hand(context: Context, read: Reader) -> Any:
    """The attack that was spoken of last, as a request."""
    last = context.memory.get("last")
    return read(last, replace(context, memory={})) if last else None


def _compared(message: Message, context: Context, read: Reader) -> object | None:
    """ "roll A" rolls the first of those compared last, and a bare "B" reckons the second."""
    match = _LETTER.fullmatch(message.plain)
    options = context.memory.get("compared", ())
    if match is None or not options:
        return None
    place = ascii_lowercase.index(match["letter"])
    if place >= len(options):
        letters = tuple(f"roll {letter.upper()}" for letter in ascii_lowercase[: len(options)])
        raise Unsure(f"{len(options)} attacks were compared: which one?", letters)
    request: object = read(options[place], replace(context, memory={}))
    if match["roll"] or not isinstance(request, Strike | Roll):
        return request
    return replace(request, odds=True) if isinstance(request, Strike) else Odds(request.attack)


def _closer(message: Message, context: Context, read: Reader) -> object | None:
    """ "should I close to half range?" compares the attack at hand at its distance and at half range."""
    if _CLOSER.fullmatch(message.plain) is None:
        return None
    request = _at_hand(context, read)
    if isinstance(request, Strike):
        return Closer(request)
    attack = getattr(request, "attack", None)
    ranges = [weapon.range for weapon in attack.weapons if weapon.has_half_bonus] if attack else []
    if attack is None or not ranges or attack.distance is None:
        raise Misread(
            "half range of which attack? Say one with its range, its half-range bonus and the distance",
            (0, len(message.text)),
            hint="10 attacks, hit 4+, S4, range 24, half range +1 attack, at 20 into T4, save 3+",
        )
    near = min(ranges) / 2
    if attack.distance <= near:
        said = f"that attack is within half range already, at {attack.distance:g}"
        raise Misread(said, (0, len(message.text)), hint="roll it")
    return Compare((attack, replace(attack, distance=near)), notes=(f"first at {attack.distance:g}, then at {near:g}",))


def _mended(message: Message, context: Context, read: Reader) -> object | None:
    """ "sorry, T5", "that was in cover": after a roll how to mend it is asked back; after odds it is reckoned anew."""
    match = _MENDED.fullmatch(message.plain)
    if match is None or message.text.rstrip().endswith("?"):
        return None
    change = message.text[slice(*match.span("change"))]
    spoken = match["pardon"] or match["was"] or match["behind"]
    if not (spoken or _COVER.fullmatch(match["change"])) or not _changes_something(change):
        return None
    last = context.memory.get("last")
    if last and not context.memory.get("rolled"):
        return _with(change, context, read)
    return Mend(change) if last or spoken else None


def _changes_something(change: str) -> bool:
    from bot.reading.changes import read_changes  # only few messages come near it
    from bot.reading.said import said_of

    try:
        return bool(read_changes(said_of(Message(change)), (), ()))
    except Misread:
        return False


def _varied(message: Message, context: Context, read: Reader) -> object | None:
    """ "what about S5?" reckons the attack at hand with another strength."""
    last = context.memory.get("last")
    if not last or not _VARIES.match(message.plain):
        return None
    if _names_units(last, context):
        head = _HEAD.match(message.plain)
        change = message.text[0 if head is None else head.end() :].strip(" ?!.")
        return _with(change, context, read) if _changes_something(change) else None
    from bot.reading.varied import again  # only few messages come near it

    return again(message, last, context)


def _leveled(message: Message, context: Context, read: Reader) -> object | None:
    """ "At least 2 slain?" reckons that chance for the attack at hand."""
    if not context.memory.get("last"):
        return None
    from bot.reading.levels import level_within, with_level  # only where an attack is at hand
    from bot.reading.synonyms import line_of

    asked = level_within(line_of(message, context.synonyms))
    if asked is None or any(atom.text not in PUNCTUATION for atom in asked.rest.atoms):
        return None
    if context.is_term(message.text.strip(" ?!.")):
        return None
    request = _at_hand(context, read)
    if isinstance(request, Strike):
        return replace(request, odds=True, level=asked.level, faces=None)
    return with_level(Odds(request.attack), asked) if isinstance(request, Odds | Roll) else None


def _names_units(last: str, context: Context) -> bool:
    return any(Message(unit).plain in Message(last).plain for unit in context.units)


def _with(change: str, context: Context, read: Reader) -> object | None:
    """The attack at hand with this changed, reckoned; by name only what belongs to the message can be."""
    from bot.reading.said import said_of
    from bot.reading.strikes import like
    from bot.reading.varied import again

    request = _at_hand(context, read)
    if not isinstance(request, Strike):
        said = Message(f"same but {change}")
        return again(said, context.memory["last"], context)
    found = like(request, said_of(Message(change)))
    if found is None:
        changes = "of an attack by name distance, cover, weapons and modifiers can be changed"
        raise Misread(f"what stands on the card stays; {changes}", hint="what about in cover")
    return replace(found, odds=True, faces=None)
