"""Answers to what was asked before: a choice, the missing part, "roll it".

choice  = number | ordinal | the choice itself | the words that only one choice has
missing = the clauses that were asked for, or just their number
roll it = ("roll" | "throw") ("it" | "that") [own dice] | "yes"
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from bot.loose import LOOSE, roll_meant
from bot.misread import Misread, Unsure
from bot.reading.ask import GAP
from bot.reading.context import Context
from bot.reading.message import Message
from bot.reading.owndice import faces_alone, own_dice
from bot.reading.small_talk import NOD, PUZZLED, small_talk
from bot.reading.synonyms import line_of
from bot.requests.attack import Odds, Roll
from bot.requests.questions import CanI, Phase, WhatIs
from bot.requests.talk import Remark

_LONGEST = 500  # characters of an answer
Reader = Callable[[str, Context], Any]
QUESTIONS = (CanI, WhatIs, Phase)

_POLITE = (
    r"(?:(?:ok|okay|yes|yeah|yep|please|now|then|go on|right|so|and|just|cool|great|nice|good|can you"
    r"|could you|,|\.|!|-) ?)*"
)
_IT = re.compile(
    rf"{_POLITE}(?:roll|throw|attack with|do)(?: (?:it|that|this|them|those|exactly that|exactly it|that 1))"
    r"(?: (?:then|please|now|thanks|for real|ta|for me))*(?: [,.!])*(?= |$)"
)
_YES = re.compile(
    r"(?:yes|yep|yeah|yup|aye|sure|ok|okay|please|do|go on|go ahead|go for it)(?: (?:please|do|then|thanks"
    r"|,|go|go on|roll|ok))*(?: [.!])*"
)
_ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "former": 1, "latter": 2, "1st": 1, "2nd": 2, "3rd": 3}
_PICK = re.compile(
    r"\W*(?:please )?(?:(?:option|choice|number|no\.?|#)\s*)?(?:(?P<number>\d{1,2})\)?\.?|"
    r"(?:the )?(?P<ordinal>first|second|third|fourth"
    r"|former|latter|1st|2nd|3rd|one|two|three|four))(?: (?:one|option|choice))?(?: please)?[ .!]*"
)
_WORDS = {"one": 1, "two": 2, "three": 3, "four": 4}
# The words of a question with two choices, and what marks the choice that each means.
_OWN_WORDS = (
    (re.compile(r"(?:in|all|total|altogether|together| )+"), re.compile(r"^(?!.* each\b)")),
    (re.compile(r"(?:it is |it s |as )?(?:a |the )?(?:die|dice)"), re.compile(r"\bdamage [0-9]*d[0-9]")),
    (re.compile(r"(?:it is |it s |as )?(?:a |the )?(?:number|flat|flat number)"), re.compile(r"\bdamage [0-9]+\b")),
)
# How a bare number answers what was asked for.
_PLAIN: Mapping[str, str] = {
    "attacks": "{} attacks",
    "hit": "hit {}+",
    "strength": "S{}",
    "toughness": "T{}",
    "save": "save {}+",
    "models": "{} models",
    "range": "range {}",
    "distance": "at {}",
    "move": "M{}",
    "number": "{}",
}
_SHORT = 12  # words: a longer message says an attack of its own
_NEEDED = re.compile(r"\W*\d{1,3} ?\+[ .!]*")
_NUMBER = re.compile(r"\W*(?:a |an )?(\d{1,4}(?:\.\d{1,3})?)\s*(?:\"|''|inch(?:es)?)?[ .!]*")
_DICE = re.compile(r"\W*(\d{0,3}d\d{1,3}(?:[+-]\d{1,3})?)[ .!]*")


def conversation_family(message: Message, context: Context, read: Reader) -> object | None:
    """What an answer makes of the question before it, if the message is one."""
    if len(message.text) > _LONGEST:
        return None
    return (
        _asked_again(message, context)
        or _small_talk(message, context)
        or _choice(message, context, read)
        or _completed(message, context, read)
        or (None if context.memory.get("lesson") else _roll_it(message, context, read))
        or _of_the_attack_at_hand(message, context, read)
    )


def _fresh(context: Context) -> Context:
    """The context of a whole message: nothing is open."""
    kept = {key: value for key, value in context.memory.items() if key not in ("pending", "missing", "choices")}
    return replace(context, memory=kept)


def _asked_again(message: Message, context: Context) -> object | None:
    """ "How many dice?" within a lesson, or while something is asked back where no table could tell: it again."""
    memory = context.memory
    if not ("lesson" in memory or ("asks" in memory and not context.units)):
        return None
    from bot.reading.said import said_of  # most messages leave nothing open
    from bot.reading.state_questions import TO_ROLL, WHAT_NOW
    from bot.requests.action import Lesson

    said = said_of(message)
    if "lesson" in memory and said.full(TO_ROLL):
        return Lesson("show")
    if context.units or "asks" not in memory or not (said.full(TO_ROLL) or said.full(WHAT_NOW)):
        return None
    raise _still_open(memory)


def _still_open(memory: Mapping[str, Any]) -> Misread | Unsure:
    """What was asked back last, again."""
    if "choices" in memory:
        return Unsure(memory["asks"], tuple(memory["choices"]))
    hint, pending = memory.get("hint"), memory.get("pending")
    return Misread(memory["asks"], hint=hint, missing=memory.get("missing"), pending=pending)


def _small_talk(message: Message, context: Context) -> object | None:
    """A word that asks for nothing; "ok" to a question that is open has it asked again."""
    remark = small_talk(message)
    if isinstance(remark, Remark) and remark.words in (NOD, PUZZLED):
        if "asks" in context.memory:
            raise _still_open(context.memory)
        if "lesson" in context.memory:
            from bot.requests.action import Lesson  # few learn just now

            return Lesson("show")
    return remark


# a choice


def _choice(message: Message, context: Context, read: Reader) -> object | None:
    choices = tuple(context.memory.get("choices") or ())
    chosen = _chosen(message, choices) if choices else None
    return None if chosen is None else _elsewhere(read(chosen, _fresh(context)))


def _chosen(message: Message, choices: tuple[str, ...]) -> str | None:
    plain = message.plain.strip(" .!?")
    pick = _PICK.fullmatch(message.plain)
    if pick is not None:
        number = int(pick["number"] or 0) or _ORDINALS.get(pick["ordinal"]) or _WORDS.get(pick["ordinal"], 0)
        if not 1 <= number <= len(choices):
            raise Unsure("there is one choice" if len(choices) == 1 else f"there are {len(choices)} choices", choices)
        return choices[number - 1]
    for choice in choices:
        if Message(choice).plain.strip(" .!?") == plain:
            return choice
    return _by_words(plain, choices)


def _by_words(plain: str, choices: tuple[str, ...]) -> str | None:
    """The only choice that has all these few words, in their order."""
    phrase = _spaced(plain)
    if not 1 <= len(phrase.split()) <= 6:
        return None
    for words, marks in _OWN_WORDS:
        meant = [choice for choice in choices if marks.search(choice)]
        if words.fullmatch(phrase.strip()) and len(meant) == 1 and len(choices) == 2:
            return meant[0]
    having = [choice for choice in choices if phrase in _spaced(Message(choice).plain)]
    having = [choice for choice in having if not choice.endswith(" anyway") or "anyway" in phrase]
    return having[0] if len(having) == 1 else None


def _spaced(plain: str) -> str:
    """The bare words with a space round each."""
    return f" {' '.join(re.findall('[a-z0-9+]+', plain))} "


# the missing part


def _completed(message: Message, context: Context, read: Reader) -> object | None:
    pending, missing = context.memory.get("pending"), context.memory.get("missing")
    if not pending or not missing:
        return None
    answer = _as_clause(message, missing)
    if answer is None or _stands_alone(message, context):
        return None
    before, gap, after = pending.partition(GAP)
    whole = f"{before}{answer}{after}" if gap else f"{pending}, {answer}"
    try:
        completed: object = _elsewhere(read(whole, _fresh(context)))
    except Misread as misread:
        if not _NEEDED.fullmatch(message.plain) and _asks(message, context, read):
            return None
        _still_missing(misread, missing, pending, len(before) if gap else len(pending) + 2, message, answer)
        return None
    # A question of its own, which the open message only got into.
    return None if isinstance(completed, QUESTIONS) else completed


def _stands_alone(message: Message, context: Context) -> bool:
    """Whether it is a whole message that opens with its own verb: a request by itself, and no answer."""
    from bot.reading.opening import stands_alone  # only where a part is asked for

    return stands_alone(message.text, context)


def _asks(message: Message, context: Context, read: Reader) -> bool:
    """Whether the message is a question by itself."""
    try:
        return isinstance(read(message.text, _fresh(context)), QUESTIONS)
    except (Misread, Unsure):
        return False


def _still_missing(misread: Misread, missing: str, pending: str, start: int, message: Message, answer: str) -> None:
    """Ask for the next part, or complain of the answer; return if the message was no answer at all."""
    if misread.missing is not None:
        if misread.missing != missing:
            raise misread
        return
    from bot.reading.hints import VOCABULARY  # only where a part is asked for

    words = [atom for atom in line_of(message, {}).atoms if atom.text[0].isalpha()]
    if misread.at is None or misread.at[0] < start or any(atom.text not in VOCABULARY for atom in words):
        return
    shift = start - (len(message.text) - len(message.text.lstrip()))
    at = (misread.at[0] - shift, misread.at[1] - shift) if answer == message.text.strip() else _all(message)
    raise Misread(misread.message, at, hint=misread.hint, missing=missing, pending=pending) from None


def _as_clause(message: Message, missing: str) -> str | None:
    """The answer as a clause, or None when the message has a verb or a target of its own."""
    number = _NUMBER.fullmatch(message.plain) or (_DICE.fullmatch(message.plain) if missing == "attacks" else None)
    if number is not None and missing in _PLAIN:
        return _PLAIN[missing].format(number[1])
    if missing == "dice":
        return faces_alone(message)
    from bot.reading.intent import intent_of  # only where a part is asked for

    line = line_of(message, {})
    if intent_of(line)[0] is not None or any(atom.text in ("into", "against", "or") for atom in line.atoms):
        return None
    if line.atoms and line.atoms[0].text == "dice":
        return None
    if missing != "attacks" and any(atom.text == "attack" for atom in line.atoms):
        return None
    return message.text.strip() or None


# roll it


def _roll_it(message: Message, context: Context, read: Reader) -> Any:
    line = line_of(message, {})
    rest, faces = own_dice(line, context.ruleset.die) if _IT.match(line.text) else (line, None)
    text = " ".join(atom.text for atom in rest.atoms)
    it, yes = _IT.fullmatch(text), _YES.fullmatch(text)
    if it is None and yes is None:
        return None
    last = context.memory.get("last")
    if "pending" in context.memory and "asks" in context.memory:
        raise _still_open(context.memory)  # what was said before that is not meant
    choices = tuple(context.memory.get("choices") or ())
    if yes is not None and len(choices) == 1 and context.memory.get("asks", "").endswith("?"):
        return read(choices[0], _fresh(context))
    if yes is not None and choices:
        raise Unsure("which one?", choices)
    if LOOSE in context.memory:
        roll = roll_meant(context.memory[LOOSE], _all(message), again=it is not None, own=faces is not None)
        return _elsewhere(read(roll, _fresh(context)))
    if yes is not None and context.memory.get("rolled"):
        raise Misread("that is rolled already, and nothing else was asked", _all(message), hint="what now")
    if not last:
        raise Misread(
            "there is nothing to roll yet: say an attack first", _all(message), hint="roll 10 attacks, hit 4+, …"
        )
    attack, own = read(last, _fresh(context)), None if faces is None else faces.value
    if isinstance(attack, Odds | Roll):
        rolled: Roll | Strike = Roll(attack.attack, own)
    else:
        from bot.requests.action import Strike  # an attack by name, where a table is open

        assert isinstance(attack, Strike)
        rolled = replace(attack, odds=False, faces=own)
    if context.memory.get("rolled"):
        raise Unsure("that is rolled already; roll it again?", (str(rolled),))
    return rolled


def _all(message: Message) -> tuple[int, int]:
    return 0, len(message.text)


def _of_the_attack_at_hand(message: Message, context: Context, read: Reader) -> object | None:
    if not (context.memory.get("last") or context.memory.get("compared")) and len(message.plain.split()) > _SHORT:
        return None
    from bot.reading.at_hand import of_the_attack_at_hand

    return of_the_attack_at_hand(message, context, read)


def _elsewhere(request: Any) -> Any:
    """The request without the places of its words, which stand in another message."""
    if is_dataclass(request) and any(field.name == "trace" for field in fields(request)):
        return replace(request, trace=())  # type: ignore[type-var]
    return request
