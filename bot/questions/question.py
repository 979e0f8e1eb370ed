"""A question about the rules: how it is asked, what it speaks of, and what in it was not understood.

asked    may ("can I …"), must ("do I have to …"), forbidden ("is it illegal to …"), plain ("does a …"),
         or one of the words that ask for a fact (who, what, how far, …)
turned   an inner "not" ("am I not allowed to …"), to which yes and no mean different things to people
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from bot.questions.meaning import HIGHEST, NATURAL_FAIL
from bot.questions.tags import CONFIRMS, DOUBTS, WRONG
from bot.questions.words import BEGINS, ENDS, OWNERS, Word

MAY, MUST, FORBIDDEN, PLAIN, FACT = "may", "must", "forbidden", "plain", "fact"

# Concepts that say how something is asked, not what.
ASKING = frozenset({"may", "must", "forbidden", "please"})
FACTS = frozenset(
    [
        "who",
        "what",
        "which",
        "when",
        "where",
        "why",
        "how",
        "how-far",
        "how-close",
        "how-many",
        "how-often",
        "what-happen",
        "how-work",
        "whose",
    ]
)
# Those that ask for a fact wherever they stand; the others may begin a clause ("the unit which …").
ANYWHERE = frozenset(["how-far", "how-close", "how-many", "how-often", "why", "whose"])
# Concepts that join the parts of a sentence; they matter for who did what first.
JOINING = frozenset({"and", "if", "that", "with", "to", "or"})
# Concepts that put two others in order.
MARKS = frozenset({"before", "after", "then"})
# Concepts that the next word explains, and how many words may stay unexplained.
HOOKS = frozenset({"after", "before", "then", "if", "with", "to", "against", "or"})
MOST_UNKNOWN = 2
# In a shape: what stands before it is named earlier in the sentence than what stands behind it.
EARLIER = ">"
# Concepts that never change an answer.
NEUTRAL = frozenset({"unit", "this-turn", "number-of", "weapon", "game", "target"})
_AUX = frozenset(
    [
        "can",
        "could",
        "may",
        "might",
        "do",
        "does",
        "did",
        "is",
        "are",
        "am",
        "was",
        "were",
        "will",
        "would",
        "must",
        "has",
        "have",
        "should",
    ]
)
_PERFECT = frozenset({"did", "has", "have", "was", "were"})
_PERSONS = frozenset({"i", "we", "he", "she", "it", "they", "you"})
_SUBJECTS = _PERSONS | {"a", "an", "the", "my", "your", "his", "her", "our", "their", "there", "this", "that"}
# Those of whom a clause is told: "the unit which advanced".
_TOLD_OF = frozenset({"unit", "enemy", "player", "target", "weapon", "dice", "charger", "game"})
_TELLS = frozenset({"that", "who", "which", "if", "when"})


@dataclass(frozen=True)
class Question:
    """`words` are all words of the message in order; the properties sort them."""

    text: str
    words: tuple[Word, ...]
    mended: tuple[str, ...] = field(default=())
    tag: str = ""

    @cached_property
    def _start(self) -> int:
        """Where the asking part begins."""
        return next((place + 1 for place, word in enumerate(self.words) if word == BEGINS), 0)

    @cached_property
    def _end(self) -> int:
        """Where the asking part ends."""
        return next((place for place, word in enumerate(self.words) if word == ENDS), len(self.words))

    @property
    def asking(self) -> tuple[Word, ...]:
        """The words of the part that asks."""
        return self.words[self._start : self._end]

    @property
    def alone(self) -> Question | None:
        """The asking part by itself, where something is told beside it."""
        return None if self.asking == self.words else replace(self, words=self.asking)

    @cached_property
    def asked(self) -> str:
        concepts = [word.concept for word in self.asking]
        if self.fact is not None:
            return FACT
        if "forbidden" in concepts:
            return FORBIDDEN
        return MUST if self._obliges() else MAY if "may" in concepts or "must" in concepts else PLAIN

    def _obliges(self) -> bool:
        """ "I must not" speaks of what is allowed."""
        row = [word for word in self.asking if word.concept != ""] + [Word("", "")]
        return any(word.concept == "must" and after.concept != "not" for word, after in pairwise(row))

    @cached_property
    def fact(self) -> str | None:
        """The concept that asks for a fact, if one does; "when I advance, …" does not, and no statement does."""
        if self.tag in (CONFIRMS, WRONG):
            return None
        asking = (word.concept for place, word in enumerate(self.asking) if self._asks(place))
        return next(asking, None) or next((word.concept for word in self._anywhere()), None)

    def _anywhere(self) -> Iterator[Word]:
        """The words that ask for a fact wherever they stand; "is there a cap on how much …" asks for yes or no."""
        return (
            word
            for place, word in enumerate(self.asking)
            if word.concept in ANYWHERE and not (word.concept == "how-many" and _on(self.asking[:place]))
        )

    def _asks(self, place: int) -> bool:
        """Whether the word at this place asks for a fact: it opens the sentence, or what follows its first clause."""
        word, before, after = self.asking[place], self.asking[:place], self.asking[place + 1 :]
        if word.concept not in FACTS or _inverted(before):
            return False
        following = after[0].said if after else ""
        if word.said in ("when", "once", "where") and (before or word.said != "where") and following not in _AUX:
            return False
        return not before or not (_relative(before[-1], after) or following in _PERSONS)

    @cached_property
    def negated(self) -> bool:
        """Whether there is a "not" inside the question that belongs to the asking."""
        return any(self._turns(place) for place in self._nots())

    @cached_property
    def turned(self) -> bool:
        """Whether that "not", or an "or", leaves open what yes would mean."""
        if self.tag == DOUBTS:
            return True
        return self.alternative or (self.negated and not self.tag) or sum(map(self._turns, self._nots())) > 1

    @cached_property
    def alternative(self) -> bool:
        """Whether the question names two things to choose from."""
        return any(word.concept == "or" for word in self.words)

    def _nots(self) -> Iterator[int]:
        return (place for place, word in enumerate(self.words) if word.concept == "not")

    def _leads(self, place: int) -> bool:
        """ "can't I …", "doesn't a 6 …": asked like the same question without the not."""
        before = [word for word in self.words[self._start : place] if word.concept != "please"]
        return len(before) == 1 and before[0].said in _AUX

    def _turns(self, place: int) -> bool:
        """The not belongs to the asking ("am I not …", "… is not allowed"), and does not lead it."""
        if self._leads(place):
            return False
        if self.tag == CONFIRMS and self._denies(place):
            return True
        if not self._start <= place < self._end:
            return False
        near = self.words[max(0, place - 2) : place] + self.words[place + 1 : place + 2]
        beside = self.words[place - 1 : place] + self.words[place + 1 : place + 2]
        return any(word.concept in ASKING for word in beside) or (
            place - self._start <= 3 and any(word.said in _AUX for word in near)
        )

    def _denies(self, place: int) -> bool:
        """The not of a statement: "units that advanced do not shoot"."""
        told = max((at for at, word in enumerate(self.words[:place]) if word.concept in _TELLS), default=-1)
        done = any(word.past for word in self.words[told + 1 : place])
        return place > 0 and self.words[place - 1].said in _AUX - _PERFECT and (told < 0 or done)

    @cached_property
    def content(self) -> tuple[Word, ...]:
        """The words that carry meaning, in order, without those that only ask."""
        dropped = {place for place in self._nots() if self._leads(place) or self._turns(place)}
        return tuple(
            word
            for place, word in enumerate(self.words)
            if word.concept != "" and word.concept not in ASKING and place not in dropped
        )

    @cached_property
    def concepts(self) -> frozenset[str]:
        """What the question speaks of, in any order."""
        return frozenset(
            word.concept
            for word in self.content
            if word.concept
            and word.concept not in JOINING
            and word.concept not in NEUTRAL
            and (word.concept not in FACTS or word.concept == self.fact)
        )

    def names_earlier(self, first: frozenset[str], second: frozenset[str]) -> bool:
        """Whether one of the first concepts is named before every one of the second."""
        row = [word.concept for word in self.content]
        places = [[place for place, concept in enumerate(row) if concept in group] for group in (first, second)]
        return bool(places[0] and places[1]) and places[0][0] < places[1][0]

    @cached_property
    def order(self) -> tuple[tuple[bool, str], ...]:
        """What is told of the order in time: each concept with whether it comes second.

        Second is what stands behind "before" and "then"; first is what stands behind "after", or before "first".
        """
        row = [word.concept for word in self.content if word.concept and word.concept in self.concepts]
        pairs = list(pairwise(row))
        told = tuple((mark != "after", concept) for mark, concept in pairs if mark in MARKS)
        return told or tuple((False, concept) for concept, mark in pairs if mark == "first")

    @cached_property
    def unknown(self) -> tuple[str, ...]:
        """The words that were not understood."""
        return tuple(word.said for word in self.content if word.concept is None)

    @cached_property
    def nearly_understood(self) -> bool:
        """Whether a word or two were not understood, and these add to the rest: nothing else hangs on them."""
        row = [word for word in self.words if word.concept != "" or word.said in OWNERS]
        hung = any(word.concept in HOOKS and after.concept is None for word, after in pairwise(row))
        return 0 < len(self.unknown) <= MOST_UNKNOWN and not hung and len(self.concepts - FACTS) > 1

    @property
    def understood(self) -> Question:
        """The same question without the words that were not understood."""
        return replace(self, words=tuple(word for word in self.words if word.concept is not None))

    @cached_property
    def counts(self) -> tuple[float, ...]:
        """The bare numbers, whatever the die makes of them."""
        faces = ("number", NATURAL_FAIL, HIGHEST)
        return tuple(word.number for word in self.words if word.concept in faces and word.number is not None)

    @cached_property
    def modifiers(self) -> tuple[float, ...]:
        """The numbers with a sign."""
        return tuple(
            word.number for word in self.words if word.concept == "modifier-number" and word.number is not None
        )

    @cached_property
    def inches(self) -> tuple[float, ...]:
        """The measured numbers."""
        return tuple(word.number for word in self.words if word.concept == "inches" and word.number is not None)


def _on(words: Sequence[Word]) -> bool:
    """ "Is there a cap on …"."""
    return bool(words) and words[-1].said == "on" and _inverted(words)


def _inverted(words: Sequence[Word]) -> bool:
    """Whether a question for yes or no began in these words: "can I", "is the"."""
    opening = next((word for word in words if word.concept != "please"), None)
    if opening is not None and opening.said in _AUX:
        return True
    return any(word.said in _AUX and after.said in _SUBJECTS for word, after in pairwise(words))


def _relative(before: Word, after: Sequence[Word]) -> bool:
    """ "A unit which advanced" asks nothing."""
    return before.concept in _TOLD_OF and bool(after) and (after[0].past or after[0].said in _AUX)
