"""can I …: yes, no, depends or the fact, with the reason; what no ruling covers is said to be uncovered."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from bot.asked import Asked
from bot.house import House
from bot.lookup import Found
from bot.naming import clipped
from bot.questions.question import FACT, FORBIDDEN, MAY, MUST, Question
from bot.reply import Reply
from bot.requests.questions import CanI
from bot.verbs.ruling_answer import Settled, ruling, settled, unknown
from bot.verbs.what_is import (
    asks_a_name,
    chattered,
    described,
    entry_reply,
    fitting,
    is_description,
    near_only,
    two_things,
)

_WORKS = re.compile(r"(?:so |and )?how (?:does|do|did) (?P<name>.+?) (?:work|function)", re.IGNORECASE)

_ON_EARTH = re.compile(
    r"\bwhat (?:on earth|in the world|the \w+|exactly) (?:is|are|does)\b"
    r"|\bwhat(?:s|'s| is| are) (?:it|that|this|they)\b|\bwhat does (?:it|that|this) (?:do|mean)\b",
    re.IGNORECASE,
)
_LOOKS_UP = re.compile(
    r"(?:so |and |ok |hey )*(?:what(?:'s|s| is| are)|explain|define|tell me|what (?:does|do) .* (?:mean|stand for|say)"
    r"|how (?:do|does) (?:you|one|i) (?:roll|throw|read)|how (?:do|does) (?:the |a )?\w+(?: \w+)? work)\b",
    re.IGNORECASE,
)
_VERSUS = re.compile(r" (?:vs\.?|versus) ", re.IGNORECASE)


@dataclass(frozen=True)
class _Case:
    """What is asked, and what is known of it so far."""

    request: CanI
    asked: Asked
    house: House

    @property
    def words(self) -> str:
        return self.request.words

    @cached_property
    def settled(self) -> Settled:
        return settled(self.words, self.asked, self.house)

    @property
    def question(self) -> Question:
        return self.settled.question

    @cached_property
    def ruled(self) -> Reply | None:
        """The ruling, the nearest one included."""
        return fitting(ruling(self.settled, self.asked, self.house), self.words)

    @property
    def described(self) -> bool:
        """Whether the words describe something; a sentence that asks by itself whether it may be done does not."""
        alone = isinstance(self.request.asking, CanI) and not asks_a_name(str(self.request.asking))
        return is_description(self.words) and not alone

    @cached_property
    def found(self) -> Found:
        """The entries that bear the words without those that ask, or their neighbours."""
        words = " ".join(word.said for word in self.question.content if word.concept != self.question.fact)
        return self.house.glossary.lookup.find(words)


def answer(request: CanI, asked: Asked, house: House) -> Reply:
    """The ruling; or the entry whose name the question is, or which it asks a fact about; or the nearest entries."""
    case = _Case(request, asked, house)
    return next(filter(None, (way(case) for way in _WAYS)))


def _name_asked_last(case: _Case) -> Reply | None:
    """ "I only have normal dice, what is a D3"."""
    if case.request.asking is None or case.question.inches or case.described:
        return None
    from bot.verbs.asking_part import named_by_itself  # most questions are one sentence

    return named_by_itself(case.request, case.asked, case.house)


def _covered(case: _Case) -> Reply | None:
    """The ruling on the whole question; with sentences round the question only an exact one."""
    reply = case.ruled
    if reply is None or (case.described and near_only(reply)):
        return None
    return reply if case.settled.exact or case.request.asking is None else None


def _looked_up_last(case: _Case) -> Reply | None:
    """ "Shooting is done. What comes next?"."""
    if case.request.asking is None:
        return None
    from bot.verbs.asking_part import looked_up_by_itself

    return looked_up_by_itself(case.request.asking, case.asked, case.house)


def _ruled_last(case: _Case) -> Reply | None:
    """ "I went second. Does the order of turns change?"."""
    if case.request.asking is None:
        return None
    from bot.verbs.asking_part import ruled_by_itself

    return ruled_by_itself(case.request, case.question, case.asked, case.house)


def _nearly_covered(case: _Case) -> Reply | None:
    return None if case.described else case.ruled


def _of_the_name(case: _Case) -> Reply | None:
    """ "How does cover work", "fixed save"."""
    works = _WORKS.fullmatch(case.words)
    bearing = case.house.glossary.lookup.bearing(works["name"] if works else case.words)
    if len(bearing) == 1:
        return entry_reply(bearing[0], case.house)
    two_things(_VERSUS.sub(" and ", case.words), case.house)
    return None


def _of_a_fact(case: _Case) -> Reply | None:
    """ "How far is an advance"."""
    one = case.question.asked == FACT and len(case.found.exact) == 1
    return entry_reply(case.found.exact[0], case.house) if one else None


def _with_words_round_it(case: _Case) -> Reply | None:
    return None if _permits(case.question) else chattered(case.words, case.house)


def _described(case: _Case) -> Reply | None:
    if _looks_up(case.words, case.question):
        described(case.words, case.house)
    return case.ruled


def _uncovered(case: _Case) -> Reply:
    near = tuple(entry.title for entry in case.found.exact) or case.found.near
    near = near or tuple(entry.title for entry in case.house.glossary.describing.nearest(case.words))
    unknown_words = clipped(", ".join(dict.fromkeys(case.question.unknown)))
    strange = f" (not understood: {unknown_words})" if unknown_words else ""
    return unknown(f"no ruling of {case.house.ruleset(case.asked.where).title} covers this{strange}", near)


# The ways to an answer; the first that finds one gives it.
_WAYS: tuple[Callable[[_Case], Reply | None], ...] = (
    _name_asked_last,
    _covered,
    _looked_up_last,
    _nearly_covered,
    _ruled_last,
    _of_the_name,
    _of_a_fact,
    _with_words_round_it,
    _described,
    _uncovered,
)


def _permits(question: Question) -> bool:
    """Whether it asks what may or must be done."""
    return question.asked in (MAY, MUST, FORBIDDEN)


def _looks_up(words: str, question: Question) -> bool:
    """Whether it asks what something is, and not whether or how much of it: a permission is no look-up."""
    if is_description(words) or _ON_EARTH.search(words):
        return True
    return not _permits(question) and _LOOKS_UP.match(words) is not None
