"""The table's own rulings: kept in the record, found again by their words, preferred to the ruleset's."""

from __future__ import annotations

from bot.house import House
from bot.naming import singular
from bot.questions.asked import question_of
from bot.questions.deed import deed_of
from bot.questions.question import FACT, MUST, Question
from bot.questions.verdict import NO, YES, Verdict, as_asked
from bot.reading.message import Message
from resolver.ruleset import Ruleset

KIND = "ruling"
SETTING = "house rules"
ENTRY = "house-rule"
# Concepts whose words are as different as walls and hills.
_NAMED = frozenset({"terrain", "unit"})
_DENIALS = frozenset({"not", "never", "without", "forbidden"})


def own_ruling(question: Question, house: House, where: str, ruleset: Ruleset) -> Verdict | None:
    """The latest house rule that speaks of everything the question asks about."""
    for id in reversed(house.memory.recall(where).get(SETTING, [])):
        entry = house.ledger.entry(where, id)
        if entry is None:
            continue
        rule = question_of(Message(entry.data["words"]).plain, house.glossary.lexicon, ruleset)
        if _matters(question) and _matters(question) <= _matters(rule):
            agreed = ", ".join(entry.data["agreed"])
            marked = f"House rule #{id}, agreed by {agreed}, {entry.when:%d %B %Y}."
            verdict = Verdict(_polarity(question, rule), f"{entry.data['words']}", ENTRY, says=marked)
            return as_asked(verdict, question)
    return None


def _matters(question: Question) -> frozenset[str]:
    """What must be spoken of: concepts, and the very words where no concept stands for them."""
    return frozenset(
        singular(word.said) if word.concept is None or word.concept in _NAMED else word.concept
        for word in question.content
        if word.concept is None or word.concept in question.concepts - _DENIALS or word.concept == "terrain"
    )


def _polarity(question: Question, rule: Question) -> str | None:
    """Yes or no only if the rule says of the very same thing that it may or may not be done."""
    same = _matters(question) == _matters(rule) and deed_of(question) == deed_of(rule)
    said = {word.concept for word in rule.words}
    if not same or "may" not in said or question.asked in (FACT, MUST) or "not" in question.concepts:
        return None
    return NO if said & _DENIALS else YES
