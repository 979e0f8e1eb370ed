"""The player's own dice at the end of a roll: "with dice 6 4 4 2 1", or "64421".

own dice = ["with" | "using"] ["my" | "own"] "dice" face+ | "i rolled" face+ | "with my own dice"
alone    = [own dice] face+                    the answer where dice are asked for: "dice 5 3", "a 5 and a 3"
"""

from __future__ import annotations

import re

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.draft import Said
from bot.reading.message import Message
from bot.reading.numbers import with_digits
from resolver.attack import MOST_DICE_IN_ALL

_LEAD = re.compile(
    r"(?:with |using |use )?(?:(?:my|our|these|own|the) )*(?:dice)(?: rolls?| are| were)?(?: :)?|(?:i|we) "
    r"(?:have )?rolled(?: a| :)?(?= [0-9])"
)

_OWN = frozenset({"my", "our", "own"})

_BETWEEN = r"(?:[\s,.:;/]|\b(?:and|an?|then)\b)"
_ALONE = re.compile(
    rf"(?:{_BETWEEN}|\b(?:with|using|use|here|are|were|was|is|they|they're|it|it's|the|these|those|my|our|own|dice|die"
    rf"|faces?|rolls?|i|we|have|i've|rolled|threw|got|more)\b)*(?P<faces>[0-9]+(?:{_BETWEEN}+[0-9]+)*)"
    r"(?:[\s.!]|\b(?:please|thanks)\b)*"
)


def faces_alone(message: Message) -> str | None:
    """The faces of a message that says nothing but faces: "dice 5 3", "I rolled a 5 and a 3"."""
    said = _ALONE.fullmatch(with_digits(message.plain)[0])
    return None if said is None else " ".join(re.findall("[0-9]+", said["faces"]))


def own_dice(line: Line, die: int) -> tuple[Line, Said | None]:
    """The line without the own dice, and the faces said."""
    for index, start in enumerate(line.starts):
        match = _LEAD.match(line.text, start)
        if match is not None and _is_lead(line, index, match):
            first = line.index(match.end() - 1) + 1
            return _taken(line, index, first, die)
    return line, None


def _is_lead(line: Line, index: int, match: re.Match[str]) -> bool:
    """ "10 dice" is a number of attacks; "dice 6 4" are faces, also behind "3+"."""
    if not match[0].startswith("dice"):
        return True
    after = line.text[match.end() : match.end() + 2].strip()
    before = line.atoms[index - 1].text if index > 0 else ""
    return after[:1].isdigit() and (before.endswith("+") or not before[-1:].isdigit())


def _taken(line: Line, index: int, first: int, die: int) -> tuple[Line, Said]:
    faces: list[int] = []
    at = first
    while at < len(line.atoms) and (
        line.atoms[at].text.isdigit() or line.atoms[at].text in (",", "and", ":", ".", "/")
    ):
        if line.atoms[at].text.isdigit():
            faces += _faces(line, at, die)
        at += 1
    if not faces and not _OWN.isdisjoint(atom.text for atom in line.atoms[index:first]):
        at = first  # whose dice is said, and what they show is asked
    elif not faces:
        raise Misread(
            "which faces? They stand behind the word dice", line.part(index, first).place, hint="with dice 6 4 4"
        )
    if len(faces) > MOST_DICE_IN_ALL:
        raise Misread(f"at most {MOST_DICE_IN_ALL:,} dice", line.part(first, at).place)
    span = line.atoms[index].start, line.atoms[max(at - 1, first)].end if at > first else line.atoms[index].end
    rest = Line(line.message, (*line.atoms[:index], *line.atoms[at:]))
    return rest, Said(tuple(faces), span, line.message.text[slice(*span)])


def _faces(line: Line, at: int, die: int) -> list[int]:
    """One number is one face, or a run of single digits where the die has fewer than ten faces."""
    atom = line.atoms[at]
    digits = atom.text
    faces = [int(digit) for digit in digits] if die < 10 else [int(digits[:4])]
    for face in faces:
        if not 1 <= face <= die:
            raise Misread(f"a face lies between 1 and {die}, got {face}", (atom.start, atom.end))
    return faces
