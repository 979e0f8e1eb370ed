"""What an exchange leaves open: the question asked back, what answers it, and by which entry it was settled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bot.asked import Asked, Question
from bot.house import House
from bot.ledger import Memory
from bot.loose import LOOSE
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.ask import GAP
from bot.reading.context import Context
from bot.reply import Line, Reply
from resolver.refused import Refused

# What one exchange leaves open for the next message of the same person.
OPEN = ("pending", "missing", "choices", "question", "asks", "hint")
LESSON = "lesson"  # under which a person's step-by-step attack is remembered
NOTHING_OPEN = "nothing is open here, so nothing changes"
_ANSWER = " answered"
_SETTLED = "settled\n"  # where it is remembered that a question was answered by typing; no person can be called so
_STEP = "step "
_PROPOSAL = "proposal "


def answering(question: Question) -> str:
    """The event of an answer by a button or form: the same for all of them, so that only the first is recorded."""
    return question.id + _ANSWER


def step_question(lesson: int, step: int) -> Question:
    """What one handful of a step-by-step attack asks for."""
    return Question(f"{_STEP}{lesson}.{step}")


def lesson_of(question: Question) -> int | None:
    """The entry that began the step-by-step attack of which the question asks for a handful, if it does."""
    lesson, dot, _ = question.id.removeprefix(_STEP).partition(".")
    return int(lesson) if question.id.startswith(_STEP) and dot else None


def proposal_question(entry: int) -> Question:
    """Whether the other side agrees to what it was asked in that entry."""
    return Question(f"{_PROPOSAL}{entry}")


def proposed(question: Question) -> int | None:
    """The entry in which the question asked for agreement, if it did."""
    entry = question.id.removeprefix(_PROPOSAL)
    return int(entry) if entry != question.id and entry.isdecimal() else None


def another_lesson(question: Question | None, under_way: object) -> int | None:
    """The step-by-step attack of which a handful is answered, if it is not the person's own that is under way."""
    lesson = None if question is None else lesson_of(question)
    return None if lesson == under_way else lesson


def not_yours(house: House, where: str, lesson: int) -> str:
    """Why a handful of that step-by-step attack cannot be answered: it is another player's, or over."""
    begun = house.ledger.entry(where, lesson)
    whose = begun.who if begun is not None else ""
    if whose and house.memory.recall(where, whose).get(LESSON) == lesson:
        return f"the step-by-step attack #{lesson} is {whose}'s"
    return f"the step-by-step attack #{lesson} is over"


def in_view_of(asked: Asked, memory: Mapping[str, Any]) -> dict[str, Any]:
    """What is remembered, with the question open to which the message belongs."""
    matter, question = asked.matter, asked.question
    if matter is not None:
        memory = {key: value for key, value in memory.items() if key != LOOSE}
        memory |= {"last": matter.attack, "rolled": matter.rolled}
    if question is None:
        return closed(memory) if asked.closes_nothing else dict(memory)
    if not question.missing:  # a choice, whose words are known as long as nothing else was asked
        return dict(memory) if memory.get("question") == question.id else closed(memory)
    return closed(memory) | {"pending": question.pending, "missing": question.missing, "question": question.id}


def remaining(asked: Asked, kept: Mapping[str, Any], left: dict[str, Any]) -> dict[str, Any]:
    """What is remembered after an answer that leaves this open."""
    still = {key: kept[key] for key in OPEN if key in kept} if asked.closes_nothing else {}
    return closed(kept) | (left or still)


def closed(memory: Mapping[str, Any]) -> dict[str, Any]:
    """What is remembered, with nothing open."""
    return {key: value for key, value in memory.items() if key not in OPEN}


def open_words(memory: Mapping[str, Any]) -> tuple[str, ...]:
    """The question that is open, in a line, with how it is answered; none if nothing is."""
    if "asks" not in memory:
        return ()
    example = str(memory.get("hint") or "").removeprefix("for example: ")
    answers = [f"{number}. {choice}" for number, choice in enumerate(memory.get("choices", ()), 1)]
    asks = memory["asks"] if memory["asks"].endswith(("?", ".")) else f"{memory['asks']}."
    how = f" Type it, as in `{example}`." if example else ""
    return (f"still open: {asks}{how}", *answers)


def dropped(memory: Mapping[str, Any]) -> str:
    """What is said of "never mind": the question that was open, and is no longer; or that there was none."""
    if "pending" in memory:
        return f"dropped: {' '.join(memory['pending'].replace(GAP, ' … ').split())}"
    return "dropped: the question which of them" if "choices" in memory else NOTHING_OPEN


def answered(asked: Asked, context: Context) -> str | None:
    """The id of the question to which the message is an answer: without the question it reads otherwise, or not."""
    if asked.question is not None:
        return asked.question.id
    question: str | None = context.memory.get("question")
    if question is None:
        return None
    alone = closed(context.memory)
    if question.startswith(_STEP):
        alone.pop(LESSON, None)
    outcomes = (_outcome(asked.text, context), _outcome(asked.text, replace(context, memory=alone)))
    return None if outcomes[0] == outcomes[1] else question


def _outcome(text: str, context: Context) -> object:
    """What comes of reading; a complaint as its words, so that it can be compared."""
    try:
        return read(text, context)
    except (Misread, Unsure, Refused) as complaint:
        return str(complaint), getattr(complaint, "pending", None), getattr(complaint, "choices", None)


def asking(reply: Reply, left: dict[str, Any], event: str, question: str | None) -> tuple[Reply, dict[str, Any]]:
    """The reply with the question it asks back, and what is left open with its id."""
    if reply.asks is not None:
        return reply, left | {"question": reply.asks.id}
    if reply.kind not in ("misread", "choice") or not left:
        return reply, left
    id = question or event.removesuffix(_ANSWER)
    asks = Question(id, left.get("pending", ""), left.get("missing", ""))
    return replace(reply, asks=asks), left | {"question": id}


def settled_by(memory: Memory, where: str, question: str) -> int | None:
    """The number of the entry that answered the question, if one did."""
    typed: int | None = memory.recall(where, _SETTLED + question).get("entry")
    return typed or memory.number(where, question + _ANSWER)


def settle(memory: Memory, asked: Asked, question: str) -> None:
    """Remember that the question was answered by what was typed, if that was recorded."""
    typed = asked.event not in (None, question + _ANSWER)
    number = memory.number(asked.where, asked.event) if asked.event and typed else None
    if number is not None:
        memory.remember(asked.where, _SETTLED + question, {"entry": number})


def settled(number: int) -> Reply:
    """That a question was answered before."""
    said = Line(f"One question is answered once; `show #{number}` tells how.")
    data = {"message": f"settled by #{number}", "entry": number}
    return Reply("settled", f"That is settled already: #{number}.", (said,), data, (f"show #{number}",), private=True)
