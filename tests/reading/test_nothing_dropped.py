"""Nothing in a message is dropped in silence: a word more is a clause, listed filler, or a complaint."""

from pathlib import Path
from random import Random

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from resolver.refused import Refused

CORPUS = Path(__file__).parent.parent / "cases" / "reading"
CONTEXT = Context(ruleset=load_rulesets()["standard"])

# Words that no clause has and that may well change what is meant.
STRANGE = [
    *("unless", "except", "almost", "partly", "never", "half-dead", "hasty", "lasers", "poison", "blessed", "burning"),
    *("rapid", "heavy", "twin", "psychic", "wibble", "flying", "slowly", "blast", "torrent", "shield", "cursed"),
    *("frozen", "elite", "veteran", "mounted", "hidden", "prone", "stunned", "quarter"),
]
# Words that no clause needs there: denials, conditions and parts are never read as nothing.
TURNING = ["without", "not", "except", "never", "half", "some", "most", "nobody", "none", "less"]


def attacks() -> list[str]:
    """Every message of the corpus that is an attack rolled, reckoned or compared."""
    lines = (line for file in sorted(CORPUS.glob("*.txt")) for line in file.read_text(encoding="utf-8").splitlines())
    return [line[2:] for line in lines if line.startswith("> ")]


def canonical(message: str) -> str | None:
    """The line that a message is read as, if it is read at all."""
    try:
        return str(read(message, CONTEXT))
    except (Misread, Unsure, Refused):
        return None


def _is_attack(read_as: str | None) -> bool:
    return read_as is not None and read_as.startswith(("odds", "roll", "compare")) and "attack" in read_as


@pytest.mark.parametrize("words", [STRANGE, TURNING], ids=["strange words", "words that turn a meaning"])
def test_a_word_more_never_leaves_the_reading_as_it_was(words: list[str]) -> None:
    random = Random(17)
    messages = [message for message in attacks() if _is_attack(canonical(message))]
    for _ in range(250):
        message, word = random.choice(messages), random.choice(words)
        parts = message.split(" ")
        place = random.randint(1, len(parts))
        longer = " ".join([*parts[:place], word, *parts[place:]])
        assert canonical(longer) != canonical(message), longer
