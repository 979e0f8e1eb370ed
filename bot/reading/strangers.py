"""Words and signs that the grammar has nowhere: the guilty ones, wherever they stand in a message."""

from __future__ import annotations

import re

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.filler import INTO, PUNCTUATION, is_ornament
from bot.reading.hints import VOCABULARY, unknown

_NUMBER = re.compile(r"[0-9]")
_FOR_WORDS = {"@": "at", "&": "and"}  # signs that stand for a word, where a word can stand


def all_known(line: Line) -> None:
    """Complain of the first word or sign that is none of ours."""
    for index, atom in enumerate(line.atoms):
        first = atom.text[0]
        if first.isalpha() and atom.text not in VOCABULARY and not _NUMBER.search(atom.text):
            raise unknown(line, index)
        if not (first.isalnum() or first in "+-" or atom.text in PUNCTUATION or is_ornament(atom.text)):
            raise unknown(line, index)
        if atom.text in ("at", "and") and _stray(line, index):
            raise unknown(line, index)
        if atom.text == "-" and _hangs(line, index):
            raise _no_sign(line, index)


def _stray(line: Line, index: int) -> bool:
    """Whether an @ or & has nothing to stand before: "S4 @@ into T4"."""
    atom = line.atoms[index]
    after = line.atoms[index + 1].text if index + 1 < len(line.atoms) else ""
    typed = line.message.text[atom.start : atom.end]
    return typed in _FOR_WORDS and (after in ("", "at", "and", "on") or after in INTO or after in PUNCTUATION)


def _hangs(line: Line, index: int) -> bool:
    """Whether a minus hangs on a number: "hit 4-"."""
    atoms = line.atoms
    before = index > 0 and atoms[index].glued and atoms[index - 1].text.isdigit()
    return before and not (index + 1 < len(atoms) and atoms[index + 1].glued and atoms[index + 1].text[0].isalnum())


def _no_sign(line: Line, index: int) -> Misread:
    number, sign = line.atoms[index - 1], line.atoms[index]
    said = line.message.text[number.start : sign.end]
    return Misread(f'"{said}": is a plus meant?', (number.start, sign.end), hint=f"{number.text}+")
