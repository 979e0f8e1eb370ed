"""Whether a message among table talk is one to act on: it begins with a verb or a unit's action and reads whole.

Some verbs are said among friends too ("back!", "why?", "next please"): they count in whole forms only, and whatever
is said of a unit beside its action makes it talk ("Reed Runners run away lol").
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.message import Message
from bot.reading.names import known
from bot.requests.action import Act, ChargeAt, Correct, SetDeed, StepByStep, Strike, Undo
from bot.requests.attack import Odds, Roll
from bot.requests.questions import CanI, HouseRule, Rules, WhatIs
from bot.requests.record import Cut, ForgetMe, Luck, LuckOfOne, Reveal, Why
from bot.requests.table import (
    Agreed,
    BackPhase,
    Close,
    Decline,
    EndTurn,
    Leave,
    LoadRoster,
    NextPhase,
    OwnDice,
    Report,
    Rest,
    Score,
    Sit,
    Units,
)
from bot.requests.talk import Closer, Dispute, Mend, Remark
from bot.requests.words import Help
from resolver.refused import Refused

_FIRST = re.compile(r"\W*(?:the )?([a-z0-9']+)")
# "Roll 3d6" is "dice 3d6" in its own words, the end of a phase the next one, and a chance odds.
_ALSO = {
    "attack": ("roll",),
    "roll": ("roll", "dice"),
    "end": ("end", "next"),
    "chance": ("odds", "charge"),
    "was": ("luck",),
}
# What people say to each other in words that are verbs of ours too.
_TALK = re.compile(r"\W*(?:sit (?:down|here|tight|still|back|up)|cut(?: [\w']+){2,}|rules? (?:are|is|say|says) .*)\W*")
# What cannot be taken back is done only for those who speak to the umpire; so is what talk is most like.
_FOR_GOOD = (ForgetMe, Reveal)
_TO_THE_UMPIRE = (Closer, Cut, Dispute, Mend, Remark, Rules, SetDeed)
# Without a table these are not of the game.
_OF_A_GAME = (
    Agreed, BackPhase, Close, Decline, EndTurn, Leave, NextPhase, OwnDice, Report, Rest, Score, Sit, Undo
)  # fmt: skip
_N = r"# ?\d+"
_PHASE = r"(?:command|movement|shooting|charge|fight)"
# The whole forms of what is talk in fewer words, or in others.
_FORMS: Mapping[type, str] = {
    NextPhase: rf"next phase|end (?:the |this |my |our )?(?:{_PHASE} )?phase|(?:go )?to the {_PHASE} phase",
    BackPhase: r"(?:go |step )?back (?:1|a|one) phase|(?:the )?previous phase|step the phase back",
    EndTurn: r"end (?:the |this |my |our )?(?:turn|round)|next (?:turn|round)",
    Rest: r"rest (?:the |this |our )?(?:table|game)|(?:pause|adjourn) (?:the |this |our )?(?:table|game)",
    Close: r"(?:close|end) (?:the |this |our )?(?:table|game)",
    Leave: r"leave (?:the |this )?table|leave (?:my|our) (?:seat|side)|unseat \S+",
    Agreed: rf"agreed {_N}",
    Decline: rf"not agreed {_N}",
    Undo: rf"undo|undo {_N}|undo (?:that|it|(?:that|the last|my last) (?:roll|attack|entry|move|action))",
    Why: rf"why {_N}",
    Luck: r"luck of (?!the\b).+",
    LuckOfOne: r"luck .+|was (?:i|(?:that|my|this) (?:roll|attack|charge)) (?:un)?lucky\??",
    Help: r"help(?: (?!(?:me|us|him|her|them|it)\b)\S+){0,2}",
    Sit: r"sit (?:with|on|at|as) (?!(?:me|us|you|him|her|them)\b).+|seat \S+ .+",
    LoadRoster: r"load (?!of\b).+",
    Correct: r"correct .*(?:\d|cover).*",
}
_ENDS = r"(?: please)?[\s.!]*"
_WHOLE_FORMS = {kind: re.compile(rf"\W*(?:please )?(?:{form}){_ENDS}") for kind, form in _FORMS.items()}
# Single words that people do not say to each other by themselves.
_LONE = frozenset(["audit", "help", "log", "page", "report", "undo", "units"])
_BETWEEN_PEOPLE = re.compile(r"\b(?:you|u|your|yours)\b|\bwhat an? ")
# A question is of the game where it speaks of something in it.
_GAME = re.compile(
    r"\b(?:(?:re-?)?roll\w*|dice|die|d\d+|shoot\w*|shot|fir(?:e|ing)|charg\w*|advanc\w*|mov(?:e|es|ed|ing)"
    r"|f[ae]ll\w* back|fight\w*|attack\w*|hits?|wound\w*|sav(?:e|es|ing)|armou?r|cover|range|melee|combat|engaged"
    r"|coherency|units?|models?|phases?|turns?|rounds?|damage|strength|toughness|ap|measure\w*|modifiers?|criticals?)\b"
)
# What a unit does, in the words of the game, and where to: nothing beside it.
_DEED = re.compile(
    r"(?:moves?|advances?|falls? back|stays?|holds?)"
    r"(?: (?:where they are|in place|here|there|up|forwards?|backwards?|left|right|sideways|full|\d+(?:\.\d+)?"
    r"(?: ?(?:\"|'')| ?inch(?:es)?| ?in)?))*"
    r"(?:,? (?:to|towards?|into|onto|behind|through|over|along|up to|from) (?:the|a|an|my|our|their|your) "
    r"[\w'-]+(?: (?!(?:and|because|so|but|then|of)\b)[\w'-]+)?)?"
    r"(?:,? with (?:(?:my|our|own) )*dice [\d ,]+)?(?:,? because .+)?(?:,? anyway)?(?: please)?[\s.]*"
)


def opens(text: str, context: Context) -> bool:
    """Whether the message, said among people, is plainly a request to the umpire."""
    request = _whole(text, context)
    return request is not None and _is_plain(Message(text).plain, request, context)


def stands_alone(text: str, context: Context) -> bool:
    """Whether the message begins as its own canonical form does. What is left open before plays no part."""
    return _whole(text, context) is not None


def _whole(text: str, context: Context) -> object | None:
    try:
        request = read(text, replace(context, memory={}))
    except (Misread, Unsure, Refused):
        return None
    said = _first(text)
    if said is None or _TALK.fullmatch(Message(text).plain):
        return None
    if isinstance(request, _FOR_GOOD):
        return None
    if isinstance(request, _OF_A_GAME) and not context.units:
        return None
    return request if _first(str(request)) in _ALSO.get(said, (said,)) else None


def _first(text: str) -> str | None:
    match = _FIRST.match(Message(text).plain)
    return None if match is None else match[1]


def _is_plain(text: str, request: object, context: Context) -> bool:
    """Whether the words can be nothing but the request."""
    if isinstance(request, _TO_THE_UMPIRE):
        return False
    if isinstance(request, Act):
        said = text.strip().removeprefix("the ").removeprefix(Message(request.unit).plain).lstrip()
        return _DEED.fullmatch(said) is not None
    if isinstance(request, WhatIs | CanI):
        named = isinstance(request, WhatIs) and context.is_term(request.words)
        return named or (_GAME.search(text) is not None and not _BETWEEN_PEOPLE.search(text))
    if len(text.split()) == 1 and text.isalpha() and text not in _LONE:
        return False
    if isinstance(request, Strike) and request.target is None and "!" in text:
        return False
    if not _is_of_the_table(request, context):
        return False
    form = _WHOLE_FORMS.get(type(request))
    return form is None or form.fullmatch(text) is not None


def _is_of_the_table(request: object, context: Context) -> bool:
    """Whether what stands behind the verb is of the game: a name of the table, an attack, a rule."""
    if isinstance(request, Strike | ChargeAt):
        return request.target is None or request.distance is not None or known(request.target, context.units)
    if isinstance(request, Units):
        return request.side is None or known(request.side, context.units)
    if isinstance(request, HouseRule):
        return _GAME.search(request.words.casefold()) is not None
    return not isinstance(request, StepByStep) or _is_attack(request.attack, context)


def _is_attack(text: str, context: Context) -> bool:
    """Whether an attack is said, even if something of it has to be asked for."""
    try:
        return isinstance(read(text, replace(context, memory={})), Strike | Odds | Roll)
    except Misread as misread:
        return misread.missing is not None
    except (Unsure, Refused):
        return True
