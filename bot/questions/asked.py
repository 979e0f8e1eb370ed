"""From a text to the question that it asks: slips put right, tags taken off, what is told set apart."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from math import prod

from bot.questions.lexicon import Lexicon
from bot.questions.meaning import meant
from bot.questions.question import Question
from bot.questions.tags import parted
from bot.questions.told import told_apart, without_thanks
from bot.questions.typos import put_right
from bot.questions.words import BEGINS, ENDS, Word, spelt_out, words_of
from resolver.ruleset import Ruleset

MOST_READINGS = 4
# A word that stands alone: no part of "d6" or "can't", and no "cant" either.
_WORD = re.compile(r"(?<![\w'])(?!\w+n'?t\b)[^\W\d_]{3,}(?![\w'])")


def question_of(text: str, lexicon: Lexicon, ruleset: Ruleset) -> Question:
    """The question that the text asks, in the numbers of the ruleset's die.

    `text` is in plain lower case with plain signs, as the reader makes it.
    """
    spelt, mended = _spelt(put_right(text), lexicon)
    bare, tag = parted(without_thanks(spelt))
    return Question(text.strip(), meant(tuple(_words(spelt_out(bare), lexicon)), ruleset), mended, tag)


def _words(text: str, lexicon: Lexicon) -> Iterator[Word]:
    """The words of the message, with marks round the part that asks."""
    parts = told_apart(text)
    if parts.before:
        yield from (*words_of(parts.before, lexicon), BEGINS)
    yield from words_of(parts.asks, lexicon)
    if parts.behind:
        yield from (ENDS, *words_of(parts.behind, lexicon))


def _spelt(text: str, lexicon: Lexicon) -> tuple[str, tuple[str, ...]]:
    """The text with its misspelt words mended where only one can be meant, and which were."""
    known = ((word, lexicon.mend(word)) for word in dict.fromkeys(_WORD.findall(text)) if lexicon.form(word) is None)
    mended = {word: meant.spelt for word, meant in known if meant is not None}
    text = _WORD.sub(lambda word: mended.get(word[0], word[0]), text) if mended else text
    return text, tuple(f"{word} as {spelt}" for word, spelt in mended.items())


def readings_of(question: Question, lexicon: Lexicon, ruleset: Ruleset) -> tuple[Question, ...]:
    """The question with every misspelt word in each way in which it may be meant, where more than one is."""
    ways = [[(said, meant.spelt) for meant in lexicon.candidates(said)] for said in question.unknown]
    if not ways or not all(ways) or prod(map(len, ways)) > MOST_READINGS:
        return ()
    return tuple(_reading(question, dict(way), lexicon, ruleset) for way in product(*ways))


def _reading(question: Question, spelt: Mapping[str, str], lexicon: Lexicon, ruleset: Ruleset) -> Question:
    text = _WORD.sub(lambda word: spelt.get(word[0], word[0]), question.text)
    mended = tuple(f"{said} as {meant}" for said, meant in spelt.items())
    read = question_of(text, lexicon, ruleset)
    return replace(read, mended=(*mended, *read.mended))
