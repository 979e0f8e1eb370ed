"""Text to a request, or a Misread that points at the word.

Each family of messages has a reader: it answers None for "not mine", a request, or raises Misread or Unsure.
The families are asked in the order written out here. A complaint does not end the search, since the message
may be another family's; if nobody reads it, the family that understood the most of it complains.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module

from bot.misread import Misread, Unsure
from bot.reading.context import Context
from bot.reading.conversation import conversation_family
from bot.reading.message import LONGEST, Message
from bot.reading.numbers import VALUES
from bot.reading.one_thing import one_thing
from bot.reading.synonyms import line_of

Request = object
_NUMBER = re.compile(rf"[0-9]|\b(?:{'|'.join(VALUES)})s?\b")
_ATTACKS = re.compile(r"\b[0-9]\S* (?:attack|dice|times)\b")
_STATISTIC = re.compile(r"\b(?:[0-9]+\+|[0-9]+s\b|(?:s|t|ap|w|strength|toughness|penetration|damage) ?-?[0-9]+)")
# "Could you please roll 150d6?" asks for the dice, and nothing about the rules.
_BIDS = re.compile(
    r"\W*(?:[a-z]+\W+)??(?:(?:could|would|will|can) (?:you|u|someone|somebody|anyone|anybody)|would you mind"
    r"|do you think you could)"
    r"(?: (?:please|pls|plz|kindly|just|quickly))* (?:roll|rolling|throw|throwing)"
    r"(?: (?:me|us|this|that|these|for|a|an|the|my|our))*"
    rf" (?:[0-9]|d ?[0-9]|off\b|(?:{'|'.join(VALUES)})\b)"
)
_MOVEMENT = re.compile(r"\b(?:charg|reach|advanc)")
# What acts, with something in it that may be a question about it.
_ASKED_VERB = re.compile(
    r"\b(?:cut|rules?|call|reveal|undo|off|correct|audit|recheck|agreed|anyway|forget|end|next|close|open)\b.*"
    r"(?:\?|\bw[hao]|mean|defin|expl|\bhow\b)"
)
LONGEST_QUESTION = 1_000  # characters; what is longer is no question about terms or rules


@dataclass(frozen=True)
class Family:
    """A reader of one kind of messages, loaded when it is first asked: `function` of bot/reading/`module`.py.

    It is asked only about messages with `cue` in them that are at most `longest` characters long.
    """

    module: str
    function: str
    cue: str = ""
    longest: int = LONGEST

    def __call__(self, message: Message, context: Context) -> Request | None:
        if self.cue not in message.plain or len(message.text) > self.longest:
            return None
        found: Request | None = getattr(import_module(f"bot.reading.{self.module}"), self.function)(message, context)
        return found


EXPLAIN = Family("table", "explain_family", cue="expl")
RECORD = Family("record", "record_family")
QUESTIONS = Family("questions", "questions_family", longest=LONGEST_QUESTION)
NEEDS = Family("needs", "needs_family")
DICE = Family("dice", "dice_family")
ATTACK = Family("attack", "attack_family")
TABLE = Family("table", "table_family")
BARE = Family("questions", "bare_question_family", longest=LONGEST_QUESTION)

# With a table open its messages come first; without one they come after what needs no table.
FAMILIES: tuple[Family, ...] = (
    EXPLAIN,
    Family("words", "words_family"),
    Family("calling", "call_family", cue="call"),
    RECORD,
    QUESTIONS,
    NEEDS,
    DICE,
    ATTACK,
    TABLE,
    BARE,
)

# Where a number is said, a whole attack, charge or advance is answered as that, though it is put as a question.
WITH_A_NUMBER = (*(one for one in FAMILIES if one not in (QUESTIONS, TABLE, BARE)), QUESTIONS, TABLE, BARE)

# Without a table, a message that opens so is most likely of this family, which is asked before the others.
OPENERS: Mapping[str, Family] = {
    "odds": ATTACK,
    "roll": ATTACK,
    "compare": ATTACK,
    "dice": DICE,
    "charge": DICE,
    "show": RECORD,
    "log": RECORD,
}


def read(text: str, context: Context) -> Request:
    """The request that the text makes, in this context; a question whether to change something makes none."""
    request = _read(text, context)
    if type(request).__name__ in ("RollDice", "Undo"):
        from bot.reading.held import hold_asked

        hold_asked(text, request, context)
    if text.rstrip(" .!\t\n").endswith("?"):
        from bot.reading.held import hold

        hold(text, request, context)
    return request


def _read(text: str, context: Context) -> Request:
    message = Message(text)
    if not message.plain.strip():
        raise Misread("there is nothing to read", hint="help")
    if "\n" in text and "roster" in message.plain:
        from bot.reading.table_roster import is_roster, roster_request

        if is_roster(text):
            return roster_request(message)
    if len(text) > LONGEST:
        raise Misread(f"I read at most {LONGEST:,} characters", (LONGEST, len(text)), hint="send it in parts")
    one_thing(message, context, read)
    answer = _asked_of_a_verb(message, context) or conversation_family(message, context, read)
    return _asked_in_turn(message, context) if answer is None else answer


def _asked_of_a_verb(message: Message, context: Context) -> Request | None:
    if len(message.text) > LONGEST_QUESTION or not _ASKED_VERB.search(message.plain):
        return None
    from bot.reading.questions import asked_of_a_verb

    return asked_of_a_verb(message, context)


def _asked_in_turn(message: Message, context: Context) -> Request:
    complaints: dict[Family, Misread | Unsure] = {}
    for family in _in_order(message, context):
        if family is QUESTIONS and complaints:
            reckoned = _without_slips(message, context, complaints)
            if reckoned is not None:
                return reckoned
        if family in (QUESTIONS, BARE) and _is_no_question(message, complaints):
            continue
        request = _tried(family, message, context, complaints)
        if request is not None:
            return request
    clearest = _clearest(message, context, complaints)
    if isinstance(clearest, Misread) and not _is_attack(message):
        from bot.reading.questions import asked_all_the_same, described_all_the_same

        asked = asked_all_the_same(message, clearest) or described_all_the_same(message, context)
        if asked is not None:
            return asked
    raise clearest


def _in_order(message: Message, context: Context) -> tuple[Family, ...]:
    """The families in the order in which this message is put to them."""
    likely = TABLE if context.units else OPENERS.get(message.plain.split(maxsplit=1)[0])
    families = WITH_A_NUMBER if _NUMBER.search(message.plain) else FAMILIES
    return families if likely is None else (likely, *(family for family in families if family is not likely))


def _without_slips(
    message: Message, context: Context, complaints: dict[Family, Misread | Unsure]
) -> Request | None:
    """What the message asks to be rolled or reckoned once its small misspelt words are put right.

    What is complained of then takes the place of the complaints.
    """
    if not _NUMBER.search(message.plain):
        return None
    from bot.reading.slips import is_strange, with_slips  # most messages have none

    if not any(isinstance(complaint, Misread) and is_strange(complaint) for complaint in complaints.values()):
        return None
    mended = with_slips(message, context)
    if mended is None:
        return None
    tries = (_tried(family, message, mended, complaints) for family in (NEEDS, DICE, ATTACK))
    return next((request for request in tries if request is not None), None)


def _tried(
    family: Family, message: Message, context: Context, complaints: dict[Family, Misread | Unsure]
) -> Request | None:
    """What the family makes of the message; its complaint is kept."""
    try:
        return family(message, context)
    except (Misread, Unsure) as complaint:
        complaints[family] = complaint
        return None


def _is_no_question(message: Message, complaints: Mapping[Family, Misread | Unsure]) -> bool:
    return _bids(message) or (bool(complaints) and _is_attack(message)) or _lacks(complaints)


def _lacks(complaints: Mapping[Family, Misread | Unsure]) -> bool:
    """Whether a question of what a die needs was understood but for one side of it: "what does strength five need"."""
    complaint = complaints.get(NEEDS)
    return isinstance(complaint, Misread) and complaint.missing in ("toughness", "strength")


def _bids(message: Message) -> bool:
    asks_kindly = "please" in message.plain or "for me" in message.plain or "can" not in message.plain.split()[:3]
    return asks_kindly and _BIDS.match(message.plain) is not None


def _is_attack(message: Message) -> bool:
    """Whether a number of attacks is said, and enough beside it to be the attack itself and no question about it."""
    if len(message.text) > LONGEST_QUESTION:
        return False
    text = line_of(message, {}).text
    return _ATTACKS.search(text) is not None and len(_STATISTIC.findall(text)) > 1


def _clearest(message: Message, context: Context, complaints: dict[Family, Misread | Unsure]) -> Misread | Unsure:
    """The complaint of the family that understood the most.

    The table speaks only if a unit is named, or if the words are no attack from the first one on.
    """
    if DICE in complaints and _MOVEMENT.search(message.plain):
        complaints.pop(DICE if ATTACK in complaints and _is_attack(message) else ATTACK, None)  # not both know it
    of_table = complaints.pop(TABLE, None)
    if of_table is not None and (_names_a_unit(message, context) or _no_attack(message, complaints.get(ATTACK))):
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
    if not isinstance(complaint, Misread):
        return False
    first = len(message.text) - len(message.text.lstrip())
    return complaint.missing == "attacks" or (complaint.at is not None and complaint.at[0] <= first)
