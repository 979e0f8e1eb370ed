"""Complaints about a word: where it stands, and the nearest thing that would work."""

from __future__ import annotations

import re

from bot.misread import Misread
from bot.reading import bare, criticals, ranges, rerolls, target, weapon, wrong
from bot.reading.atoms import SPELLINGS, Line
from bot.reading.filler import FILLER, INTO
from bot.reading.ways_out import way_out


def words_of(pattern: str) -> set[str]:
    """The words that a clause pattern mentions, with and without an optional last letter."""
    found = re.findall(r"([a-z']+)(\??)", re.sub(r"\?P<[a-z_0-9]+>", " ", pattern))
    return {word for word, _ in found} | {word[:-1] for word, optional in found if optional and len(word) > 1}


CLAUSE_WORDS = frozenset(
    word
    for clause in (
        *weapon.CLAUSES,
        *target.CLAUSES,
        *rerolls.CLAUSES,
        *criticals.CLAUSES,
        *ranges.CLAUSES,
        *wrong.CLAUSES,
        *bare.HERE_WEAPON,
        *bare.HERE_TARGET,
    )
    for word in words_of(clause.source)
)
_JOINING = (  # of the scan itself
    "at on plus then and but both followed along together better than first 1st second 2nd third 3rd fourth 4th next"
    " other group profile fight fights"
)
VOCABULARY = CLAUSE_WORDS | FILLER | INTO | frozenset(_JOINING.split())

# What to suggest for a word: the clause it most likely belongs to.
EXAMPLES: tuple[str, ...] = (
    "10 attacks",
    "5 models",
    "2 attacks each",
    "hit 4+",
    "auto hit",
    "strength 5",
    "AP-1",
    "armour penetration 1",
    "damage 2",
    "wound 3+",
    "+1 to hit",
    "+1 to wound",
    "re-roll 1s to hit",
    "re-roll failed wounds",
    "re-roll non-critical hits",
    "critical hits on 5+",
    "critical wounds on 5+",
    "critical hits score 1 extra hit",
    "critical hits wound",
    "critical wounds pierce",
    "range 30",
    "at 14",
    "half range double attacks",
    "+1 attack per 5 targets",
    "damage spills",
    "into T4",
    "toughness 4",
    "save 3+",
    "no save",
    "fixed save 4+",
    "ignore 5+",
    "2 wounds each",
    "cover",
    "half damage",
    "1 wound lost",
    "melee",
    "at least 2 slain",
    "at most 1 unsaved",
    "exactly 2 damage",
)
_KEYWORDS = sorted({word for example in EXAMPLES for word in re.findall(r"[a-zA-Z]{3,}", example)})


_SHORT = {
    "s": "S5",
    "t": "T4",
    "ap": "AP-1",
    "d": "damage 2",
    "w": "W2",
    "bs": "BS4+",
    "ws": "WS3+",
    "a": "2 attacks each",
}
_SHORT |= {">": "the same without the sign of a quotation"}
_SHORT |= {"critical": "critical hits on 5+, or critical hits wound"}
_SHORT |= {"plus": "plus 5 attacks, hit 4+, S4", "then": "plus 5 attacks, hit 4+, S4"}


def nearest(word: str) -> str | None:
    """The clause whose wording comes nearest to a word, if a slip or two of the finger may have made it."""
    if word in _SHORT:
        return _SHORT[word]
    from rapidfuzz import process  # only a misread message pays for loading it
    from rapidfuzz.distance import OSA

    alike = [keyword for keyword in _KEYWORDS if keyword[0] == word[0]]
    match = process.extractOne(word[:40], alike, scorer=OSA.normalized_similarity, score_cutoff=0.6)
    begun = next((keyword for keyword in reversed(alike) if word.startswith(keyword)), None)
    found = match[0] if match is not None else begun
    return None if found is None else next(example for example in EXAMPLES if found in example)


_DENIALS = frozenset(
    [
        "no",
        "not",
        "never",
        "without",
        "don't",
        "doesn't",
        "can't",
        "cannot",
        "won't",
        "isn't",
        "aren't",
        "didn't",
        "nor",
        "neither",
        "none",
    ]
)
_DENIED = "only no AP, no cover, no save and no re-rolls can be said"


def unknown(line: Line, index: int) -> Misread:
    """The complaint about a word that the grammar has nowhere."""
    atom = line.atoms[index]
    if atom.text in _DENIALS:
        return _complaint(line, index, "cannot be said of this", _DENIED)
    typed = line.message.text[atom.start : atom.end]
    shown = typed if typed.isprintable() and len(typed) <= 40 else ascii(typed)[1:-1][:40]
    hint = nearest(atom.text) or _as_models(line, index) or way_out(line.message.plain)
    return Misread(f'I don\'t understand "{shown}"', (atom.start, atom.end), hint=hint)


def _as_models(line: Line, index: int) -> str | None:
    """ "10 Wardens 2 shots each": a strange name with a number of its own is most likely a kind of model."""
    number = line.atoms[index - 1] if index else None
    named = line.message.text[line.atoms[index].start].isupper()
    return f"{number.text} models" if named and number and number.text.isdigit() and not number.glued else None


def lost(line: Line, index: int) -> Misread:
    """The complaint about a known word in a place where it says nothing.

    A denial or an odd number just behind it is the guiltier word.
    """
    for later in range(index, min(index + 4, len(line.atoms))):
        text = line.atoms[later].text
        if text in _DENIALS:
            return _complaint(line, later, "cannot be said of this", _DENIED)
        if "." in text and text[0].isdigit() and later <= index + 1:
            return _complaint(line, later, "is not a whole number", None)
    atom = line.atoms[index]
    if atom.text[0].isdigit():
        attacks = "1 attack" if atom.text == "1" else f"{atom.text} attacks"
        hint = attacks + (f", damage {atom.text}, or dice {atom.text}" if "d" in atom.text else "")
        return _complaint(line, index, "stands alone: a number of what?", hint)
    hint = nearest(SPELLINGS.get(atom.text, atom.text)) or way_out(line.message.plain)
    return _complaint(line, index, "says nothing here", hint)


def _complaint(line: Line, index: int, message: str, hint: str | None) -> Misread:
    atom = line.atoms[index]
    return Misread(f'"{line.message.text[atom.start : atom.end]}" {message}', (atom.start, atom.end), hint=hint)
