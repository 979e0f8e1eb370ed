"""Text to a request, or a Misread that points at the word.

Each family of messages has a reader: it answers None for "not mine", a request, or raises Misread or Unsure.
The families are asked in the order written out here. A complaint does not end the search, since the message
may be another family's; if nobody reads it, the family that understood the most of it complains.
"""

from __future__ import annotations

from collections.abc import Callable

from bot.misread import Misread, Unsure
from bot.reading.attack import attack_family
from bot.reading.context import Context
from bot.reading.conversation import conversation_family
from bot.reading.dice import dice_family
from bot.reading.message import LONGEST, Message
from bot.reading.needs import needs_family
from bot.reading.questions import bare_question_family, questions_family
from bot.reading.record import record_family
from bot.reading.table import explain_family, table_family
from bot.reading.table_roster import is_roster, roster_request
from bot.reading.words import words_family

Request = object
LONGEST_QUESTION = 1_000  # characters; what is longer is no question about terms or rules
Family = Callable[[Message, Context], Request | None]

# With a table open its messages come first; without one they come after what needs no table.
FAMILIES: tuple[Family, ...] = (
    explain_family,
    words_family,
    record_family,
    needs_family,
    questions_family,
    dice_family,
    attack_family,
    table_family,
    bare_question_family,
)


def read(text: str, context: Context) -> Request:
    """The request that the text makes, in this context."""
    message = Message(text)
    if not text.strip():
        raise Misread("there is nothing to read", hint="help")
    if is_roster(text):
        return roster_request(message)
    if len(text) > LONGEST:
        raise Misread(f"I read at most {LONGEST:,} characters", (LONGEST, len(text)), hint="send it in parts")
    answer = conversation_family(message, context, read)
    return _asked_in_turn(message, context) if answer is None else answer


def _asked_in_turn(message: Message, context: Context) -> Request:
    complaints: dict[Family, Misread | Unsure] = {}
    for family in (table_family, *FAMILIES) if context.units else FAMILIES:
        if family is questions_family and len(message.text) > LONGEST_QUESTION:
            continue
        try:
            request = family(message, context)
        except (Misread, Unsure) as complaint:
            complaints[family] = complaint
            continue
        if request is not None:
            return request
    raise _clearest(message, context, complaints)


def _clearest(message: Message, context: Context, complaints: dict[Family, Misread | Unsure]) -> Misread | Unsure:
    """The complaint of the family that understood the most.

    The table speaks only if a unit is named, or if the words are no attack from the first one on.
    """
    of_table = complaints.pop(table_family, None)
    if of_table is not None and (_names_a_unit(message, context) or _no_attack(message, complaints.get(attack_family))):
        return of_table
    return max(complaints.values(), key=_understood)


def _understood(complaint: Misread | Unsure) -> float:
    """How far into the message a family came; all the way if it only asks."""
    if isinstance(complaint, Unsure) or complaint.at is None:
        return float("inf")
    return complaint.at[0]


def _names_a_unit(message: Message, context: Context) -> bool:
    return any(Message(unit).plain in message.plain for unit in context.units)


def _no_attack(message: Message, complaint: Misread | Unsure | None) -> bool:
    first = len(message.text) - len(message.text.lstrip())
    return isinstance(complaint, Misread) and complaint.at is not None and complaint.at[0] <= first
