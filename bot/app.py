"""answer(asked) -> Reply: reads, dispatches, remembers. The only place that turns an error into an answer."""

from __future__ import annotations

import logging
from dataclasses import replace
from typing import Any

from bot.asked import Asked
from bot.content import ContentError
from bot.differing import briefly
from bot.explained import explained
from bot.house import House
from bot.ledger import LedgerError
from bot.left_open import (
    LESSON,
    OPEN,
    another_lesson,
    answered,
    asking,
    in_view_of,
    not_yours,
    remaining,
    settle,
    settled,
    settled_by,
)
from bot.loose import with_loose
from bot.misread import Misread, NobodyThere, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Caret, Line, Note, Reply
from bot.shown import remember_shown
from bot.verbs import VERBS
from resolver.refused import Refused

log = logging.getLogger(__name__)

LONGEST_CHOICE = 200  # characters; of longer ones only what differs is shown
_LOOK_UPS = ("entry", "ruling", "phase")  # kinds of answers that leave open what was open


class App:
    """The umpire without a channel. Synchronous; a channel calls it from one worker, one message at a time."""

    def __init__(self, house: House) -> None:
        self.house = house

    def answer(self, asked: Asked) -> Reply:
        """The reply to one message. A message delivered twice is answered from the record."""
        try:
            return self._once(replace(asked, text=_storable(asked.text)))
        except LedgerError as error:
            return trouble(error)

    def _once(self, asked: Asked) -> Reply:
        recorded = self.house.ledger.recorded(asked.where, asked.event) if asked.event else None
        if recorded is not None:
            return explained(recorded, self.house.memory.recall(asked.where, asked.who).get("explain"))
        context = self._context(asked)
        question = answered(asked, context)
        entry = None if question is None else settled_by(self.house.memory, asked.where, question)
        if entry is not None:
            return settled(entry)
        reply, left = self._answer(asked, context)
        if asked.event is not None:
            reply, left = asking(reply, left, asked.event, question)
        kept = self.house.memory.recall(asked.where, asked.who)
        self._remember(asked, reply, kept, remaining(asked, kept, left), question)
        return explained(reply, kept.get("explain"))

    def _remember(
        self, asked: Asked, reply: Reply, before: dict[str, Any], after: dict[str, Any], question: str | None
    ) -> None:
        """An answer that is in the record is given even if nothing can be remembered of it."""
        memory = self.house.memory
        try:
            if question is not None:
                settle(memory, asked, question)
            after = with_loose(after, reply) | remember_shown(memory, asked, reply)
            if after != before:
                memory.remember(asked.where, asked.who, after)
        except LedgerError as error:
            log.error("ledger: %s", error)

    def _answer(self, asked: Asked, context: Context) -> tuple[Reply, dict[str, Any]]:
        """The reply, and what to remember of it."""
        try:
            reply = self._dispatched(asked, context)
            return reply, _left_open(reply, context)
        except Misread as misread:
            still = _still_asked(misread, asked)
            return misread_reply(asked.text, still), _pending(asked.text, still)
        except Unsure as unsure:
            return choice_reply(unsure), {"choices": list(unsure.choices), "asks": unsure.message}
        except Refused as refused:
            still = _still_asked(Misread(refused.message), asked)
            return misread_reply("", still), _pending("", still)
        except LedgerError as error:
            return trouble(error), {}
        except ContentError as error:
            return unusable(error), {}

    def _dispatched(self, asked: Asked, context: Context) -> Reply:
        """The verb's reply. What names nobody at the table may be a question that needs no table."""
        other = another_lesson(asked.question, context.memory.get(LESSON))
        if other is not None:
            raise Misread(not_yours(self.house, asked.where, other))
        request = read(asked.text, context)
        try:
            return VERBS[type(request)](request, asked, self.house)
        except NobodyThere as nobody:
            try:
                request = read(asked.text, replace(context, units=(), parts=()))
            except (Misread, Unsure):
                raise nobody from None
            return VERBS[type(request)](request, asked, self.house)

    def _context(self, asked: Asked) -> Context:
        units, parts = self._names(asked.where)
        return Context(
            ruleset=self.house.read_by(asked.where),
            synonyms=self.house.memory.recall(asked.where).get("synonyms", {}),
            units=units,
            parts=parts,
            memory=in_view_of(asked, self.house.memory.recall(asked.where, asked.who)),
            is_term=lambda words: bool(self.house.glossary.lookup.bearing(words)),
            misspells_term=lambda words: self.house.glossary.lookup.misspells(words),
            describes_term=lambda words: bool(self.house.glossary.describing.nearest(words, alone=True)),
            is_word=lambda word: self.house.glossary.lexicon.is_word(word),
        )

    def _names(self, where: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The names on the channel's open table; the table's rooms are not loaded where there never was one."""
        if not self.house.memory.holds(where, "table"):
            return (), ()
        from bot.table.units import names_there

        return names_there(self.house, where)


def _storable(text: str) -> str:
    """The text with half characters (lone surrogates) replaced one for one, so that any store can hold it."""
    return "".join("\N{REPLACEMENT CHARACTER}" if "\ud800" <= char <= "\udfff" else char for char in text)


def _left_open(reply: Reply, context: Context) -> dict[str, Any]:
    """What is still open after an answer: a question between changes nothing, an advance may still get its move."""
    if reply.kind in _LOOK_UPS or reply.leaves_open:
        return {key: value for key, value in context.memory.items() if key in OPEN}
    if reply.kind == "advance" and (reply.data or {}).get("move", 0) is None:
        return {"pending": f"{reply.title} ‸", "missing": "move"}
    return {}


def _still_asked(misread: Misread, asked: Asked) -> Misread:
    """A complaint about an answer that was asked for in so many words leaves its question open."""
    question = asked.question
    if question is not None and question.missing and misread.missing is None:
        misread.missing, misread.pending = question.missing, question.pending
    return misread


def _pending(text: str, misread: Misread) -> dict[str, Any]:
    if misread.missing is None:
        return {}
    asked = {"asks": misread.message, "hint": misread.hint}
    return {"pending": misread.pending or text, "missing": misread.missing} | asked


def misread_reply(text: str, misread: Misread) -> Reply:
    """What is wrong, where, and what would work."""
    blocks: list[Caret | Line | Note] = []
    if misread.at is not None:
        blocks.append(Caret(text, misread.at, misread.also))
    if misread.hint and misread.hint not in misread.offers:
        blocks.append(Note(misread.hint))
    data = {
        "message": misread.message,
        "at": list(misread.at) if misread.at else None,
        "missing": misread.missing,
        "hint": misread.hint,
    }
    return Reply("misread", misread.message, tuple(blocks), data, misread.offers, private=True)


def choice_reply(unsure: Unsure) -> Reply:
    """One short question with its choices, answered by number or text."""
    lines = tuple(Line(f"{i}. {choice}") for i, choice in enumerate(briefly(unsure.choices, LONGEST_CHOICE), 1))
    data = {"message": unsure.message, "choices": list(unsure.choices)}
    return Reply("choice", unsure.message, lines, data, offers=unsure.choices)


def trouble(error: LedgerError) -> Reply:
    """The record cannot be used; the complaint says what to do, and leaves what concerns the host alone to the log."""
    log.error("ledger: %s", error)
    told = Line(error.shown, strong=True)
    more = () if error.shown == str(error) else (Note("whoever runs me finds more in the log"),)
    return Reply("trouble", "The record could not be used", (told, *more), {"message": error.shown})


def unusable(error: ContentError) -> Reply:
    """A file that whoever runs the umpire wrote cannot be used: which, where in it, and why."""
    log.error("content: %s", error)
    said = f"a file that I need can't be used:\n{error.short}"
    hint = "`rules` tells what can be played instead; whoever runs me can mend the file"
    return Reply("trouble", "That can't be answered", (Line(said, strong=True), Note(hint)), {"message": said})


def apology(error: BaseException, reference: str) -> Reply:
    """A bug: a plain apology with a reference; the trace goes to the log. A record that fails is no bug."""
    if isinstance(error, LedgerError):
        return trouble(error)
    log.error("unexpected error %s", reference, exc_info=error)
    said = f"Something went wrong on my side (reference {reference})."
    counted = Line("If you rolled, `log` shows whether it counted; otherwise please try again.")
    return Reply("trouble", said, (counted,), {"message": said})
