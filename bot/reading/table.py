"""The table's own family of messages: verbs, attacks by name, declared actions, mending, rosters."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.misread import Misread
from bot.naming import holds
from bot.reading.asked_deeds import asked_of_deeds, charge_odds
from bot.reading.at_hand import closing_in
from bot.reading.context import Context
from bot.reading.deeds import ROWS, deed
from bot.reading.lessons import lesson
from bot.reading.message import Message
from bot.reading.names import complain_of_names, known
from bot.reading.phrases import phrase
from bot.reading.said import Said, said_of
from bot.reading.state_questions import ASKS, state_question
from bot.reading.stats_asked import stats_asked
from bot.reading.strikes import STRIKES, comparison, strike
from bot.reading.table_roster import roster_request
from bot.requests.action import ChargeAt, MayUnit, Strike
from bot.requests.table import Explain

LONGEST = 400  # characters; whatever is said of units is shorter
OPENING = "open table Saltmarsh Wardens against Kiln Guard"
_DISTANCE = re.compile(r"(?:at|from|about)? ?(?P<inches>\d{1,3}(?:\.\d{1,3})?)(?: ?(?:\"|'')| ?inch(?:es)?| ?in)?")
_ANYWAY = re.compile(r"(?:yes,? )?(?:do it |we do it |i insist,? )?(?:anyway|all the same|regardless|i insist)")
_BECAUSE = re.compile(r"[ ,;(-]*\bbecause (?P<why>.+)$")


def table_family(message: Message, context: Context) -> object | None:
    """A request about the table, or None if the message is about something else."""
    said = said_of(message)
    if said.start >= said.end:
        return None
    found = _answer(said, context) or lesson(said, context) or roster_request(message)
    if found is not None or said.end - said.start > LONGEST:
        return found
    ways = (asked_of_deeds, stats_asked, state_question, phrase, _about_units, _about_a_part)
    return next((request for way in ways if (request := way(said, context)) is not None), None)


def explain_family(message: Message, context: Context) -> object | None:
    """How much explanation a person wants, said in just those words, with or without a table."""
    found = phrase(said_of(message), context) if len(message.text) < LONGEST and "expl" in message.plain else None
    return found if isinstance(found, Explain) else None


def _about_units(said: Said, context: Context) -> object | None:
    if ASKS.match(said.text, said.start) is not None:
        said = replace(said, asks=True)  # a question never acts, with or without its mark
    because = _BECAUSE.search(said.text, said.start, said.end)
    short = said if because is None else said.until(because.start())
    beside = (comparison(said, context) or closing_in(said, context)) if context.units else None
    if beside is not None:
        return beside
    found = None if _is_question(said) else deed(said, context)
    found = found or strike(short, context) or deed(said, context)
    if found is None:
        complain_of_names(short, context.units, *(line for row in ROWS for line in row.templates), *STRIKES)
    if found is not None and not context.units:
        raise Misread("no table with units on it is open here", hint=OPENING)
    if isinstance(found, Strike) and because is not None:
        return replace(found, because=said.words(because, "why"))
    return found


def _about_a_part(said: Said, context: Context) -> object | None:
    """What is said of a model or a weapon as of a unit by itself; the table tells whose it is."""
    parts = tuple(part for part in context.parts if holds(said.text[said.start : said.end], (part,)))
    if not parts:
        return None
    context = replace(context, units=(*context.units, *parts), parts=())
    found = asked_of_deeds(said, context) or state_question(said, context) or deed(said, context)
    if isinstance(found, MayUnit) and found.target and not known(found.target, context.units):
        return None  # "can rifles shoot after advancing" asks for the rule
    return found or (None if ASKS.match(said.text, said.start) else strike(said, context))


def _is_question(said: Said) -> bool:
    """Whether the message begins as a question about odds, which a deed would misunderstand."""
    return re.compile(r"(?:what|odds|chance|how likely|should|reckon|if)\b").match(said.text, said.start) is not None


def _answer(said: Said, context: Context) -> object | None:
    """The answer to what was asked last: a distance, or `anyway` to a warning."""
    memory = context.memory
    if memory.get("missing") == "distance" and "pending" in memory:
        match = said.full(_DISTANCE)
        pending = _again(memory["pending"], context)
        if match is not None and isinstance(pending, Strike | ChargeAt):
            return replace(pending, distance=float(match["inches"]))
    if said.full(_ANYWAY):
        for choice in memory.get("choices", ()):
            if choice.endswith(" anyway"):
                return _again(choice, context)
        raise Misread("there is no warning to overrule", hint="say the whole action, with anyway at its end")
    return None


def _again(text: str, context: Context) -> object | None:
    said = said_of(Message(text))
    return charge_odds(said, context) or deed(said, context) or strike(said, context)
