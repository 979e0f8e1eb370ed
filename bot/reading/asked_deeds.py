"""Questions about deeds of units by name: several of them joined, and the chance of a charge.

joined = "can" UNIT deed (("and" | "then" | "or" | ",") deed)+
charge = ("odds" | "chance that" | "should" …) UNIT "charge" UNIT ["from" inches]
"""

from __future__ import annotations

import re
from dataclasses import replace

from bot.reading.context import Context
from bot.reading.deeds import ACTIONS, deed
from bot.reading.message import Message
from bot.reading.names import find, known
from bot.reading.said import Said, said_of
from bot.reading.strikes import intent
from bot.requests.action import ChargeAt, MayDeeds, MayUnit

_ANY = "|".join(ACTIONS.values())
_ALSO = r"(?:(?:both|either|still|now|also|even|first|then|allowed to|able to|permitted to|free to) )*"
_JOINED = (
    rf"(?:can|may|could) @unit {_ALSO}(?P<deeds>(?:{_ANY})\b.*)",
    rf"(?:is|are) @unit (?:still )?(?:allowed|able|permitted|free) to {_ALSO}(?P<deeds>(?:{_ANY})\b.*)",
    rf"(?:can|may|could) (?:i|we|you) {_ALSO}(?P<deeds>(?:{_ANY})\b.*?) with @unit",
)
_THEM = re.compile(r" (?:them|it|him|her)\b", re.IGNORECASE)
_JOINT = re.compile(rf"(?:,? (?:and|or|then|but)|,)(?: then| also)? {_ALSO}", re.IGNORECASE)


def asked_of_deeds(said: Said, context: Context) -> MayDeeds | ChargeAt | None:
    """What is asked of deeds by name on the open table, if it is one of these questions."""
    return _joined(said, context) or charge_odds(said, context) if context.units else None


def charge_odds(said: Said, context: Context) -> ChargeAt | None:
    """The chance of a charge, in whatever phase it is asked for."""
    asked, rest = intent(said)
    request = deed(replace(rest, asks=False), context) if asked else None
    if not isinstance(request, ChargeAt):
        return None
    if rest.start == said.start and request.distance is None:
        return None  # "Wardens charge the Kiln Guard?" asks whether they may
    return replace(request, odds=True, anyway=False)


def _joined(said: Said, context: Context) -> MayDeeds | None:
    match = find(said, context.units, *_JOINED)
    if match is None:
        return None
    deeds = said.words(match, "deeds")
    options = tuple(_deed(said.words(match, "unit"), piece, context) for piece in _JOINT.split(deeds))
    found = tuple(option for option in options if option is not None)
    if len(options) < 2 or len(found) < len(options):
        return None
    return MayDeeds(found, either=re.search(r"\bor\b", deeds, re.IGNORECASE) is not None)


def _deed(unit: str, words: str, context: Context) -> MayUnit | None:
    """One of the deeds, asked about by itself."""
    asked = deed(said_of(Message(f"can {unit} {_THEM.sub('', words)}?")), context)
    if not isinstance(asked, MayUnit) or (asked.target and not known(asked.target, context.units)):
        return None
    return asked
