"""How a ruling is worded, and how an uncovered question is: shared by every verb that answers about rules."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.asked import Asked
from bot.house import House
from bot.questions.asked import question_of, readings_of
from bot.questions.house_rules import own_ruling
from bot.questions.question import FACT, Question
from bot.questions.verdict import Verdict
from bot.reading.message import Message
from bot.reply import Block, Line, Note, Reply
from resolver.ruleset import Ruleset

_TITLES = {"yes": "Yes", "no": "No", "depends": "It depends"}
DECIDES = "Your group's own rulebook decides; write down what you agree on with `house rule: …`."
NOT_AS_ASKED = "I cannot say yes or no to that as asked; this is the ruling that comes nearest."
NEAREST = "This does not decide it as asked; the nearest ruling:"
NEAREST_FACT = "The nearest ruling:"


def asked_question(text: str, asked: Asked, house: House) -> Question:
    """The question in the words of the channel's ruleset."""
    return question_of(Message(text).plain, house.glossary.lexicon, house.ruleset(asked.where))


@dataclass(frozen=True)
class Settled:
    """A question with the verdicts on it: the ruleset's and the table's own."""

    question: Question
    verdict: Verdict | None
    own: Verdict | None

    @property
    def exact(self) -> bool:
        """Whether the very question is answered, and not only one near it."""
        return self.own is not None or (self.verdict is not None and self.verdict.exact)


def settled(text: str, asked: Asked, house: House) -> Settled:
    """The question that the text asks, with the verdicts on it."""
    ruleset = house.ruleset(asked.where)
    question, verdict = _settled(asked_question(text, asked, house), house, ruleset)
    return Settled(question, verdict, own_ruling(question, house, asked.where, ruleset))


def ruling(found: Settled, asked: Asked, house: House) -> Reply | None:
    """The reply of the table's own ruling or of the ruleset's, if one covers the question."""
    ruleset = house.ruleset(asked.where)
    if found.own is not None:
        return _own_reply(found.own, found.verdict, found.question, ruleset)
    return None if found.verdict is None else _reply(found.verdict, found.question, house, ruleset)


def nearest(found: Settled, asked: Asked, house: House) -> Reply | None:
    """The ruling as the nearest one: what decides it may stand elsewhere."""
    if found.verdict is None or found.verdict.table:
        return None
    verdict = replace(found.verdict, answer=None, exact=False, says="")
    return _reply(verdict, found.question, house, house.ruleset(asked.where))


def ruled(text: str, asked: Asked, house: House) -> Reply | None:
    """The reply of the ruling that covers what the text asks."""
    return ruling(settled(text, asked, house), asked, house)


def _settled(question: Question, house: House, ruleset: Ruleset) -> tuple[Question, Verdict | None]:
    """The verdict; on a word that may be meant in several ways the one on all of them.

    Where some of the ways are not covered, the ruling on the others is only the nearest.
    """
    judge = house.glossary.judge
    covered = judge.verdict(question, ruleset)
    if not question.unknown or (covered is not None and covered.exact):
        return question, covered
    readings = readings_of(question, house.glossary.lexicon, ruleset)
    told = [(reading, verdict) for reading in readings if (verdict := judge.verdict(reading, ruleset)) is not None]
    agreed = {(verdict.answer, verdict.because, verdict.exact) for _, verdict in told}
    if len(agreed) != 1:
        return question, covered
    reading, verdict = told[0]
    return reading, verdict if len(told) == len(readings) else replace(verdict, answer=None, exact=False)


def _reply(verdict: Verdict, question: Question, house: House, ruleset: Ruleset) -> Reply:
    entry = house.glossary.entries[verdict.entry]
    blocks: list[Block] = [Line(verdict.because, strong=True)]
    if verdict.says:
        blocks.insert(0, Line(verdict.says))
    if not verdict.exact:
        blocks.append(Note(NOT_AS_ASKED))
    blocks += [*_mended(question), Note(f"Read on: {entry.title}. Ruleset: {ruleset.title}.")]
    offers = ("roll off",) if verdict.table else ()
    title = _TITLES.get(verdict.answer or "", "The rule")
    data = _data(verdict, ruleset) | ({} if verdict.exact else {"because": _nearest(verdict, question)})
    return Reply("ruling", title, tuple(blocks), data, (*offers, f"what is {entry.title.lower()}"))


def _nearest(verdict: Verdict, question: Question) -> str:
    """The ruling on the same matter; whoever asked for a fact may find it there, whoever wants a yes or no may not."""
    fact = question.asked == FACT or question.alternative
    return f"{NEAREST_FACT if fact else NEAREST} {verdict.because}"


def _own_reply(own: Verdict, verdict: Verdict | None, question: Question, ruleset: Ruleset) -> Reply:
    blocks: list[Block] = [Line(own.because, strong=True), Note(own.says)]
    if verdict is not None:
        blocks.append(Note(f"Otherwise, by the {ruleset.title} ruleset: {verdict.because}"))
    title = f"House rule: {_TITLES[own.answer]}" if own.answer else "House rule"
    return Reply("ruling", title, (*blocks, *_mended(question)), _data(own, ruleset) | {"house_rule": True})


def _data(verdict: Verdict, ruleset: Ruleset) -> dict[str, object]:
    return {
        "answer": verdict.answer,
        "because": verdict.because,
        "ruleset": ruleset.id,
        "entry": verdict.entry,
    }


def _mended(question: Question) -> list[Note]:
    return [Note(f"Read {', '.join(question.mended)}.")] if question.mended else []


def unknown(message: str, near: tuple[str, ...]) -> Reply:
    """Nothing covers this: the nearest entries as choices, and who decides."""
    said = f"{message[0].upper()}{message[1:]}."
    nearest = (Line(f"Nearest: {', '.join(near)}"),) if near else ()
    data = {"message": f"{said} {DECIDES}", "near": list(near)}
    offers = tuple(f"what is {title.lower()}" for title in near)
    return Reply("unknown", said, (*nearest, Note(DECIDES)), data, offers)
