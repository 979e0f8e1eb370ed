"""Questions about meaning and rules.

    look-up  = "what is" X | "what does" X "mean" | "explain" X | "define" X | X "?"
    phase    = "phase" [PHASE] | "what comes after" PHASE | "what now" | "what do I do in the" PHASE "phase"
    ruling   = a question that opens with can, may, do, is, who, how, what happens …, or asks what is allowed
    own      = "house rule:" WORDS ["(agreed by" NAMES ")"] | "house rules"
    teaching = "next lesson" | "lesson again" | "rules" [NAME]

Numbers of an attack, chances and the table's own affairs belong to other families and are left alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from bot.misread import Misread
from bot.questions.tags import parted
from bot.questions.typos import put_right
from bot.reading import question_shapes as shapes
from bot.reading.context import Context
from bot.reading.message import Message
from bot.reading.numbers import VALUES
from bot.requests.questions import CanI, HouseRule, HouseRules, NextLesson, Phase, Rules, WhatIs

# Verbs that are names of the glossary too: alone, they are the beginning of a message.
VERBS = frozenset(
    {"advance", "agreed", "anyway", "attack", "charge", "compare", "cut", "dice", "needs", "reach"} | {"roll", "score"}
)

# Words that begin a message of another family, whatever stands behind them.
_COMMANDS = VERBS | {"odds", "needs", "shoot", "fight", "move", "undo", "correct", "show", "log", "page", "reveal"}
_SAID = re.compile(r"[^\W\d_]+(?:'[a-z]+)?")
_COUNTS = re.compile(rf"\d|\b(?:{'|'.join(VALUES)})s?\b")
_JOINTS = frozenset(
    ["a", "an", "the", "my", "your", "our", "of", "for", "to", "in", "on", "at", "by", "is", "are", "be", "with"]
)
MOST_ABOUT = 9  # words

# What makes a question about a unit one about the rules: another deed that came before.
_CONDITION = re.compile(r"\b(?:after|if|when|once|having) \w+")

Match = re.Match[str]
Build = Callable[[Match, str], object]
Readers = tuple[tuple[re.Pattern[str], Build], ...]


def questions_family(message: Message, context: Context) -> object | None:
    """The question that the message asks, or None if it is no question about meaning or rules."""
    from bot.reading.sentences import with_its_sentences

    message = Message(put_right(message.text))
    return with_its_sentences(_one_question(message, context), message, context, _one_question)


def _one_question(message: Message, context: Context) -> object | None:
    text = message.plain
    own = shapes.HOUSE_RULE.fullmatch(text)
    if own is not None:
        return _house_rule(own, message.text)
    chance = shapes.CHANCE.fullmatch(text)
    if chance is not None:
        return _what_is(chance, message.text)
    if shapes.TABLE.fullmatch(text):
        return Phase() if shapes.OUR_PHASE.fullmatch(text) and not context.units else None
    if shapes.THROWN.fullmatch(text) and not shapes.NOT_THROWN.search(text):
        return CanI(_bare(message))
    named = _named(message, context)
    if named is not None or shapes.RECKONED.search(text):
        return named
    if _of_the_table(text, context):
        return _in_general(message, context)
    return _read(_READERS, message) or _numbered(text, context) or _phase_or_look_up(message, context)


def _phase_or_look_up(message: Message, context: Context) -> object | None:
    from bot.reading.phases_asked import phase_asked, spelt  # most questions that are read at all are read by now

    mended = spelt(message.plain)
    beside = None if mended == message.plain else _read(_BESIDE, Message(mended))
    return beside or phase_asked(message.plain, context) or _wrapped_look_up(message, context) or _opened(message)


def asked_of_a_verb(message: Message, context: Context) -> WhatIs | None:
    """ "Cut, what is it" asks what the verb is; "end turn?" asks whether to do it. Neither does it."""
    asked = shapes.VERB_ASKED.fullmatch(message.plain)
    if asked is not None:
        return WhatIs(_typed(asked, message.text, "verb"))
    alone = shapes.VERB_ALONE.fullmatch(message.plain)
    if alone is not None:
        from bot.reading.held import held

        raise held(alone["bare"], context)
    return None


def _read(readers: Readers, message: Message) -> object | None:
    """The request of the first reader that knows the whole message."""
    for pattern, build in readers:
        match = pattern.fullmatch(message.plain)
        if match is not None:
            return build(match, message.text)
    return None


def _numbered(text: str, context: Context) -> Phase | None:
    """ "The second phase", "last phase of a turn": counted in the ruleset."""
    match = shapes.NUMBERED_PHASE.fullmatch(text)
    place = shapes.PLACES[_said(match)] if match is not None else len(context.ruleset.phases)
    return Phase(context.ruleset.phases[place].id) if place < len(context.ruleset.phases) else None


def bare_question_family(message: Message, context: Context) -> object | None:
    """Words with nothing but a question mark: a name to look up, or a question put short.

    Without the mark they must be a name of the glossary, if only a misspelt one, and no verb that asks for more.
    """
    message = Message(put_right(message.text))
    words, text = _bare(message), message.plain
    if not words or _of_the_table(text, context):
        return None
    if not text.rstrip().endswith("?"):
        if words.lower() in VERBS or shapes.ROLLS_A_CHARGE.fullmatch(text):
            return None
        if context.is_term(words) or context.misspells_term(words):
            return WhatIs(words)
        return _wrapped(message, context) or _about_a_name(words, text, context)
    if shapes.RECKONED.search(text) or (shapes.STATISTIC.search(text) and len(words.split()) > 1):
        return None
    return CanI(words) if len(words.split()) > 2 or shapes.ALLOWS.search(text) else WhatIs(words)


def _named(message: Message, context: Context) -> WhatIs | None:
    """ "What is do it anyway", "objectives, what are they": a name, whatever else its words could mean."""
    text = message.plain
    for pattern in (shapes.DIFFERENCE, shapes.VERSUS, shapes.DIFFERENCE_LAST):
        match = pattern.fullmatch(text)
        if match is not None and context.is_term(match["a"]) and context.is_term(match["b"]):
            return WhatIs(f"{match['a']} and {match['b']}")
    for pattern in (shapes.MEANING, shapes.MEANING_LAST):
        match = pattern.fullmatch(text)
        if match is None:
            continue
        words = _typed(match, message.text, "name")
        reckoned = shapes.RECKONED.search(text) and shapes.OURS.match(words.lower())
        if pattern is shapes.MEANING_LAST or (context.is_term(words) and not reckoned):
            return WhatIs(words)
    return None


def _wrapped_look_up(message: Message, context: Context) -> object | None:
    """The name behind whatever opens a look-up; if none is left, what the usual ways of asking leave over."""
    found = _wrapped(message, context) if shapes.LOOKS_UP.match(message.plain) else None
    return found or _read(_LOOK_UPS, message)


def _wrapped(message: Message, context: Context) -> WhatIs | None:
    """ "Remind me what AP means", "M stat": the name that is left without the words round it."""
    from bot.reading.wrapped import names_within  # a plain name needs none of its patterns

    return next((WhatIs(name) for name in names_within(message.plain) if context.is_term(name)), None)


def _about_a_name(words: str, text: str, context: Context) -> WhatIs | None:
    """ "Excess damage, where does it go": a few words that begin with a name, or hold a long one, and no number."""
    said = [word for word in _SAID.findall(text) if word not in _JOINTS]
    if not 1 < len(said) <= MOST_ABOUT or context.units or said[0] in _COMMANDS or _COUNTS.search(text):
        return None
    runs = ((start, end) for start in range(len(said)) for end in range(start + 1, len(said) + 1))
    named = any((start == 0 or end > start + 1) and context.is_term(" ".join(said[start:end])) for start, end in runs)
    if named or any(context.misspells_term(" ".join(said[:end])) for end in (1, 2)):
        return WhatIs(words)
    return None


def _opened(message: Message) -> CanI | None:
    """A question that opens like one, turns into one, or asks what is allowed."""
    text = message.plain.strip()
    long = text.endswith("?") or len(text.split()) > 2
    bare = shapes.WHAT_HAPPENS.search(text) and not shapes.STATISTIC.search(text)
    asks = (shapes.OPENS.match(text) and long) or shapes.ALLOWS.search(text) or shapes.TURNS.search(text) or bare
    said = bool(parted(text)[1]) and not shapes.STATISTIC.search(text)  # "my friend says …", "…, right?"
    return CanI(_bare(message)) if (asks or said) and _bare(message) else None


def asked_all_the_same(message: Message, complaint: Misread) -> CanI | None:
    """A question that no other reader knows and that is no attack: the guilty one is a word, and the rest asks."""
    if len(message.text) > shapes.LONGEST_LAST or shapes.COUNTED.search(message.plain):
        return None
    tag = parted(message.plain)[1]
    if shapes.OF_A_SAVE.search(message.plain) and (tag or message.text.strip().endswith("?")):
        return CanI(_bare(message))
    if complaint.at is None:
        return None
    if len(shapes.STATISTIC.findall(message.plain)) > 1 and not tag:
        return None
    guilty = message.text[slice(*complaint.at)]
    asks = message.text.strip().endswith("?") or shapes.ASKS_ANYWHERE.search(message.plain)
    lost = shapes.LOST.search(complaint.message) and guilty.replace("'", "").isalpha()
    words = _bare(message)
    return CanI(words) if asks and lost and len(words.split()) > 2 else None


def described_all_the_same(message: Message, context: Context) -> WhatIs | None:
    """ "Die leaning on the edge of a wall, not flat": no number, no verb of ours, and plainly something explained."""
    words = _bare(message)
    if len(message.text) > shapes.LONGEST_LAST or len(words.split()) < 4 or _COUNTS.search(message.plain):
        return None
    if words.split(maxsplit=1)[0].lower() in _COMMANDS or context.units or not context.describes_term(words):
        return None
    return WhatIs(words)


def _bare(message: Message) -> str:
    return message.text.strip().rstrip("?!. ")


def _of_the_table(text: str, context: Context) -> bool:
    """With a game open, what is asked about its units and its phase is answered from the table."""
    if context.units and shapes.NOW.fullmatch(text):
        return True
    return any(re.search(rf"\b{re.escape(name.casefold())}\b", text) for name in context.units if name)


def _in_general(message: Message, context: Context) -> CanI | None:
    """ "Can my Wardens charge after shooting" is the general question, whoever is named in it."""
    words = _bare(message)
    if not (shapes.OPENS.match(message.plain.strip()) and _CONDITION.search(message.plain)):
        return None
    for name in sorted(context.units, key=len, reverse=True):
        named = re.compile(rf"(?:\b(?:my|our|the|their|your) )?\b{re.escape(name)}\b", re.IGNORECASE)
        words = named.sub("my unit", words)
    return CanI(words)


def _phase(step: int) -> Build:
    return lambda match, text: Phase(shapes.PHASES[_said(match)], step)


def _said(match: Match) -> str:
    """The one group of the match that took part."""
    return next(said for said in match.groupdict().values() if said)


def _typed(match: Match, text: str, group: str) -> str:
    return text[match.start(group) : match.end(group)].strip()


def _rules(match: Match, text: str) -> Rules:
    return Rules(_typed(match, text, "name"))


def _what_is(match: Match, text: str) -> WhatIs:
    group = next(name for name, said in match.groupdict().items() if said)
    return WhatIs(shapes.QUOTED.sub(r"\1", _typed(match, text, group)))


def _house_rule(match: Match, text: str) -> HouseRule:
    words = _typed(match, text, "words").rstrip(" (,;-")
    if not words:
        raise Misread("which ruling?", hint="house rule: hills give cover (agreed by Ann, Bo)")
    who = _typed(match, text, "who") if match["who"] else ""
    names = (name.strip(" .!") for name in re.split(r",|\band\b|&", who))
    return HouseRule(words, tuple(name for name in names if name))


_READERS: Readers = (
    (shapes.WHOLE_TURN, lambda match, text: Phase()),
    (shapes.ONE_PHASE, _phase(0)),
    (shapes.PHASE_AFTER, _phase(1)),
    (shapes.PHASE_BEFORE, _phase(-1)),
    (shapes.HOUSE_RULES, lambda match, text: HouseRules()),
    (shapes.LESSON_AGAIN, lambda match, text: NextLesson(again=True)),
    (shapes.FIRST_LESSON, lambda match, text: NextLesson(first=True)),
    (shapes.NEXT_LESSON, lambda match, text: NextLesson()),
    (shapes.RULESETS, lambda match, text: Rules()),
    (shapes.CHOOSE_RULES, _rules),
)
_BESIDE: Readers = ((shapes.PHASE_AFTER, _phase(1)), (shapes.PHASE_BEFORE, _phase(-1)))
_LOOK_UPS: Readers = tuple((pattern, _what_is) for pattern in shapes.LOOK_UP)
