"""Text to a request, or a Misread that points at the word.

Each family of messages has a reader: it answers None for "not mine", a request, or raises Misread or Unsure.
The families are asked in the order written out here; the last one owns whatever is left.
"""

from __future__ import annotations

from collections.abc import Callable

from bot.misread import Misread
from bot.reading.attack import attack_family
from bot.reading.context import Context
from bot.reading.conversation import conversation_family
from bot.reading.dice import dice_family
from bot.reading.message import LONGEST, Message
from bot.reading.needs import needs_family
from bot.reading.questions import questions_family
from bot.reading.record import record_family
from bot.reading.table import table_family
from bot.reading.words import words_family

Request = object
Family = Callable[[Message, Context], Request | None]


FAMILIES: tuple[Family, ...] = (
    table_family,
    words_family,
    record_family,
    questions_family,
    dice_family,
    needs_family,
    attack_family,
)


def read(text: str, context: Context) -> Request:
    """The request that the text makes, in this context."""
    message = Message(text)
    if not text.strip():
        raise Misread("there is nothing to read", hint="help")
    if len(text) > LONGEST:
        raise Misread(f"I read at most {LONGEST:,} characters", (LONGEST, len(text)), hint="send it in parts")
    answer = conversation_family(message, context, read)
    if answer is not None:
        return answer
    for family in FAMILIES:
        request = family(message, context)
        if request is not None:
            return request
    raise Misread("I don't know what to do with this", hint="help")
