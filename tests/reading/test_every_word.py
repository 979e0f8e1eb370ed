"""Every word of a message that is read belongs to a clause, stands between two, is listed filler, or only asks."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.atoms import Atom, Line
from bot.reading.context import Context
from bot.reading.filler import FILLER, INTO, PUNCTUATION, is_ornament
from bot.reading.intent import intent_of
from bot.reading.message import Message
from bot.reading.slips import with_slips
from bot.reading.synonyms import line_of
from bot.requests.attack import Odds, Roll
from resolver.attack import Attack
from resolver.refused import Refused
from tests.reading.test_corpus import CLEAR
from tests.reading.test_free_order import messages

CONTEXT = Context(ruleset=load_rulesets()["standard"])

# What stands between two groups, before a target or before a clause, and means nothing beside.
JOINTS = (
    "plus", "+", "then", "and", "also", "next", "followed", "at", "on", "but", "both", "all", "each", "hit", "only",
    "fight", "fights",
)  # fmt: skip
# Words of order that begin a weapon, or a sentence about it.
LABELS = ("first", "second", "attack", "shoot", "shooting", "fire", "fires", "firing", "put", "w")
PASSED = frozenset((*FILLER, *PUNCTUATION, *INTO, *JOINTS, *LABELS))


def unaccounted(message: str, request: Odds | Roll) -> list[str]:
    """The words of a message that no clause of the request was read from and that are not listed."""
    mended = with_slips(Message(message), CONTEXT) or CONTEXT
    line = line_of(Message(message), mended.synonyms, by_lines=True)
    asks = _asking(line)
    return [atom.text for atom in line.atoms if not (atom in asks or _told(atom, request) or _is_passed(atom.text))]


def _is_passed(text: str) -> bool:
    return text in PASSED or is_ornament(text[0])


def _told(atom: Atom, request: Odds | Roll) -> bool:
    """Whether a clause of the reading was read from this word."""
    return any(start <= atom.start and atom.end <= end for (start, end), _ in request.trace)


def _asking(line: Line) -> list[Atom]:
    """The words round the attack that only say what is wanted; a number is never one of them."""
    kept = {atom.start for atom in intent_of(line)[1].atoms}
    around = [atom for atom in line.atoms if atom.start not in kept]
    led = [atom for atom in line.atoms if atom.text in ASKING]
    return [atom for atom in (*around, *led) if not any(char.isdigit() for char in atom.text)]


# Verbs that say "into" inside a question: "how much do 10 shots do to T4".
ASKING = ("cause", "through", "hurt", "enough", "anything", "fare", "out", "well", "dice", "die", "shot")


def test_every_word_of_every_clear_message_is_accounted_for() -> None:
    seen = 0
    for case in CLEAR:
        request = read(case.message, CONTEXT)
        if isinstance(request, Odds | Roll):
            assert not unaccounted(case.message, request), case.message
            seen += 1
    assert seen > 700


@settings(max_examples=50)
@given(messages(joint=" "), st.integers(0, 10**6))
def test_every_word_of_a_shaken_message_is_accounted_for_where_it_is_read(drawn: tuple[Attack, str], seed: int) -> None:
    message = shaken(drawn[1], Random(seed))
    request = answered(message)
    if request is not None:
        assert not unaccounted(message, request), message


@pytest.mark.parametrize("seed", range(4))
def test_every_word_of_a_shaken_message_of_the_corpus_is_accounted_for(seed: int) -> None:
    random = Random(seed)
    read_all_the_same = 0
    for case in random.sample(CLEAR, 300):
        message = shaken(case.message, random)
        request = answered(message)
        if request is not None:
            assert not unaccounted(message, request), message
            read_all_the_same += 1
    assert read_all_the_same > 30


def shaken(message: str, random: Random) -> str:
    """The message with a word lost, doubled, put elsewhere, or one of another message put in."""
    words = message.split(" ")
    place = random.randrange(len(words))
    other = random.choice(random.choice(CLEAR).message.split(" "))
    kind = random.choice(["lost", "doubled", "moved", "strange"])
    word = other if kind == "strange" else words[place] if kind == "doubled" else words.pop(place)
    if kind != "lost":
        words.insert(random.randint(0, len(words)), word)
    return " ".join(words)


def answered(message: str) -> Odds | Roll | None:
    """The attack that a message is read as, if it is read as one."""
    try:
        request = read(message, CONTEXT)
    except (Misread, Unsure, Refused):
        return None
    return request if isinstance(request, Odds | Roll) else None
