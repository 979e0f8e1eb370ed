"""The scene that a question tells: who charges whom, whose turn it is, how far off somebody stands and from where."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from bot.questions.words import BEGINS, INCHES, NUMBER, Word

_ARMS = frozenset({"ranged-weapon", "melee-weapon", "weapon"})
_STRIKING_FIRST, _MINE = frozenset({"strike-first", "first"}), frozenset({"my", "our"})
_I, _HE = frozenset({"i", "we"}), frozenset({"he", "she", "they", "enemy", "opponent"})
_HIS_TURN = frozenset({"his turn", "her turn", "their turn", "enemy turn", "opponent turn"})
_STANDING = frozenset({"is", "are", "its"})
_CHARGES, _STANDING_OFF = frozenset({"charge", "charge-roll"}), frozenset({"away", "off", "apart"})
_CHARGING, _US = "charging-me", frozenset({"me", "us"})


def _charged(words: Sequence[Word]) -> Sequence[Word]:
    """ "He charges me. Do I …": a charge told of, that the asker suffers."""
    after = [*words[1:], Word("", ""), Word("", "")]
    return [
        replace(word, concept=_CHARGING) if word.concept == "charge" and whom.said in _US and stop == BEGINS else word
        for word, whom, stop in zip(words, after, after[1:], strict=False)
    ]


def _on_my_turn(words: Sequence[Word]) -> Sequence[Word]:
    """ "It's my turn so I strike first", "it's his turn, do I": the side whose turn it is, or the other one."""
    who = {word.said for word in words[words.index(BEGINS) if BEGINS in words else 0 :]}
    mine = bool(who & _I)
    if mine == bool(who & _HE) or not any(word.concept in _STRIKING_FIRST for word in words):
        return words
    told, last = [], Word("", "")
    for word in words:
        my_turn = word.said == "turn" and last.said in _MINE
        side = "turn-side" if mine == my_turn else "other-turn-side"
        told.append(replace(word, concept=side) if my_turn or word.said in _HIS_TURN else word)
        last = word
    return told


def _as_far_as_told(words: Sequence[Word]) -> Sequence[Word]:
    """ "It walked 6 inches. May it shoot": how far it went does not matter."""
    if not any(word.concept in ("shoot", "charge") and not word.past for word in words):
        return words
    rows = zip((Word("", ""), *words), words, strict=False)
    return [
        replace(word, concept="") if word.concept == INCHES and last.concept == "move" and last.past else word
        for last, word in rows
    ]


def _from_the_gun(words: Sequence[Word]) -> Sequence[Word]:
    """ "He measured from his gun": a point that is no edge of a base."""
    concepts = {word.concept for word in words}
    measured = "measure" in concepts and "base-to-base" not in concepts
    told, begins = [], False
    for word in words:
        other = begins and word.concept in _ARMS and measured
        told.append(replace(word, concept="other-point") if other else word)
        begins = word.said == "from" or (begins and word.concept == "")
    return told


def _by_tape(words: Sequence[Word]) -> Sequence[Word]:
    """ "He stands 9 inches away and I roll 8 for the charge": a distance of the table is a measured one."""
    concepts = {word.concept for word in words}
    if not concepts & _CHARGES or NUMBER not in concepts or "measure" in concepts:
        return words
    rows = zip((Word("", ""), *words), words, (*words[1:], Word("", "")), strict=False)
    return [
        replace(word, concept="measure")
        if (word.said in _STANDING_OFF and last.concept == INCHES)
        or (word.said in _STANDING and after.concept == INCHES)
        else word
        for last, word, after in rows
    ]


# Each gives the words with the concepts that they have in the scene.
SCENE: tuple[Callable[[Sequence[Word]], Sequence[Word]], ...] = (
    _charged,
    _from_the_gun,
    _by_tape,
    _as_far_as_told,
    _on_my_turn,
)
