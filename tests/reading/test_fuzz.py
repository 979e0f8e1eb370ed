"""Ten thousand messages nobody should send: a request that reads back as itself, or a complaint in place."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.hints import VOCABULARY
from bot.reading.message import LONGEST
from bot.requests.attack import Compare, Odds, Roll
from bot.requests.dice import AdvanceDice, Charge, Charges, Needs, Reach, RollDice, RollOff
from bot.requests.words import CallWord, Words

RULESET = load_rulesets()["standard"]
CONTEXT = Context(ruleset=RULESET)
OPEN = Context(
    ruleset=RULESET,
    synonyms={"sweep": "half range double attacks", "tough hide": "ignore"},
    units=("Saltmarsh Wardens", "Kiln Guard"),
    memory={
        "pending": "10 attacks, hit 4+ into T4, ‸",
        "missing": "save",
        "last": "odds 10 attacks, hit 4+, S5, damage 1 into T4, save 3+, W1",
        "choices": ["odds 10 attacks, hit 4+, S5, damage 1 into T4, save 3+, W1", "needs hit 4+"],
    },
)
OURS = (Odds, Roll, Compare, Needs, RollDice, Charge, Charges, Reach, AdvanceDice, RollOff, CallWord, Words)
CORPUS = Path(__file__).parent.parent / "cases" / "reading"
SEEDS = [
    line[2:]
    for path in sorted(CORPUS.rglob("*.txt"))
    for line in path.read_text(encoding="utf-8").splitlines()
    if line.startswith(("> ", "= ")) and len(line) > 4
]


def _words(text: str) -> list[str]:
    return text.split()


ODD = "+-\"'.,:;/|*_`~#@<>()[]{}!?%&=^$\\0123456789dDsStTwW\u202e\u200b\u0000\u0007\ud7ff\ufeff½①٣“”’—−…😀🎲אب\n\t "
ODD_WORDS = _words(
    "no not each every half double twice all of them at on into vs plus then and or to with for critical hits wounds "
    "save fixed ignore damage re-roll reroll 1s 6s 99999999999999999999 d6 2d6+1 0 -1 +1 <@42> **bold** roll charge"
)


def mutated(draw: random.Random) -> str:
    """A line of the corpus after a few accidents."""
    text = draw.choice(SEEDS)
    for _ in range(draw.randint(1, 4)):
        text = draw.choice(ACCIDENTS)(text, draw)
    return text[: LONGEST + 10]


def _drop(text: str, draw: random.Random) -> str:
    at = draw.randrange(len(text) + 1)
    return text[:at] + text[at + draw.randint(1, 3) :]


def _insert(text: str, draw: random.Random) -> str:
    at = draw.randrange(len(text) + 1)
    return text[:at] + draw.choice(ODD) + text[at:]


def _word(text: str, draw: random.Random) -> str:
    words = text.split(" ")
    words.insert(draw.randrange(len(words) + 1), draw.choice(ODD_WORDS))
    return " ".join(words)


def _lose_word(text: str, draw: random.Random) -> str:
    words = text.split(" ")
    del words[draw.randrange(len(words))]
    return " ".join(words)


def _shuffle(text: str, draw: random.Random) -> str:
    words = text.split(" ")
    first, second = draw.randrange(len(words)), draw.randrange(len(words))
    words[first], words[second] = words[second], words[first]
    return " ".join(words)


def _join(text: str, draw: random.Random) -> str:
    return text + draw.choice((" ", ", ", " or ", " plus ", " into ", "\n", "")) + draw.choice(SEEDS)


def _repeat(text: str, draw: random.Random) -> str:
    return " ".join([text] * draw.randint(2, 5))


POOL = sorted({word for seed in SEEDS for word in seed.split()} | VOCABULARY | {*",.?!:;-+(/\"'", "odds", "plus", "or"})


def monotonous(draw: random.Random) -> str:
    """A long message of a few words said over and over, alone or behind a sensible beginning."""
    words = draw.sample(POOL, draw.randint(1, 6))
    size = draw.choice((300, 900, 2_000, LONGEST))
    begun = draw.choice((draw.choice(SEEDS), draw.choice(words)))
    return " ".join((begun, *draw.choices(words, k=size // 2)))[:size]


ACCIDENTS = (_drop, _drop, _insert, _insert, _word, _word, _lose_word, _shuffle, _join, _repeat, lambda t, d: t.upper())


def outcome(text: str, context: Context) -> object:
    """The request, or the complaint itself."""
    try:
        return read(text, context)
    except (Misread, Unsure) as complaint:
        return complaint


def check(text: str, context: Context) -> None:
    """The message is read as something that reads back as itself, or complained of in place."""
    found = outcome(text, context)
    if isinstance(found, Misread):
        assert found.message
        for at in (found.at, found.also):
            assert at is None or 0 <= at[0] <= at[1] <= len(text), (text, at)
    elif isinstance(found, Unsure):
        assert len(found.choices) > 1 or found.message.startswith("a question does nothing yet"), text
    elif isinstance(found, OURS):
        assert read(str(found), CONTEXT) == found, text


def _mutations(seed: int, count: int) -> Iterator[str]:
    draw = random.Random(seed)
    return (mutated(draw) for _ in range(count))


@pytest.mark.parametrize("seed", range(14))
def test_mutated_messages_are_read_or_complained_of(seed: int) -> None:
    for text in _mutations(seed, 500):
        check(text, CONTEXT)


@pytest.mark.parametrize("seed", range(100, 102))
def test_mutated_answers_are_read_or_complained_of(seed: int) -> None:
    for text in _mutations(seed, 500):
        check(text[: random.Random(text).choice((8, 30, 5000))], OPEN)


@pytest.mark.parametrize("seed", range(200, 210))
def test_a_few_words_over_and_over_are_read_or_complained_of(seed: int) -> None:
    draw = random.Random(seed)
    for _ in range(100):
        check(monotonous(draw), CONTEXT)


@pytest.mark.parametrize(
    "phrase", ["odds", "so what are the odds?", "worth it ?!", "and chances . . .", "roll", "ok, so"]
)
def test_a_phrase_said_over_and_over_at_the_end_is_read_or_complained_of(phrase: str) -> None:
    check(" ".join([phrase] * LONGEST)[:LONGEST], CONTEXT)
    check(f"10 attacks, hit 4+, S5 into T4, save 3+{f' {phrase}' * 300}"[:LONGEST], CONTEXT)


@settings(max_examples=1000, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(max_size=80) | st.text(alphabet=ODD, max_size=80))
def test_any_text_is_read_or_complained_of(text: str) -> None:
    check(text, CONTEXT)


@pytest.mark.parametrize(
    "piece",
    [
        *("S5 ", "4+ ", "a ", "(", "- ", "reroll ", "1 ", "half range ", "critical ", "d6 ", "x", "7", "each ", "at "),
        *("what ", "should i ", "<@1> ", "**", "\u202e", "כ ", "plus ", "then ", "save 3+ or ", "first ", "natural "),
    ],
)
def test_very_long_messages_are_read_or_complained_of(piece: str) -> None:
    check((piece * LONGEST)[:LONGEST], CONTEXT)
    check(("10 attacks hit 4+ S5 into T4 save 3+ " + piece * LONGEST)[:LONGEST], CONTEXT)


def test_longer_messages_are_refused_where_they_become_too_long() -> None:
    with pytest.raises(Misread) as caught:
        read("a" * (LONGEST + 3), CONTEXT)
    assert caught.value.at == (LONGEST, LONGEST + 3)
