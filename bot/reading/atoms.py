"""The smallest pieces that the grammar knows, in one normal spelling each, and the line that they make.

line    = atom (" " atom)*, a number glued to a word staying glued: "s5", "ap-1", "bs4+"
atom    = dice | number | sign number | word | other
dice    = [count] "d" sides [sign number]          "2d6+1", also "d 6"
number  = digits ["." digits] [plus | "s"]         "4", "6.5", "4+" (also "4 up", "4 or better"), "4s"
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from bot.misread import Misread, Span
from bot.reading.chatter import without_chatter
from bot.reading.message import Message
from bot.reading.numbers import with_digits
from bot.reading.troops import MODEL, NOUNS, without_kinds

MOST_ATOMS = 1_200  # words, numbers and signs in one message

_ATOM = re.compile(
    r"""
      (?P<summed>(?:^|(?<=roll[ ])|(?<=with[ ])|(?<=has[ ])|(?<=have[ ])|(?<=make[ ])|(?<=get[ ]))[0-9]*d[ ]?[0-9]+
        [ ]plus[ ][0-9]+(?=[ ](?:attacks?|shots?)\b(?![ ](?:per|for|at|within|in|when|if|every)\b)))
    | (?P<dice>(?:(?<![^\W\d_])|(?<=\ba)(?=[0-9])|(?<=\bd)(?=d))[0-9]{0,5}d[ ]?[0-9]+
        (?:[+-][0-9]+(?![0-9]*d[0-9])|[ ]plus[ ][0-9]+(?=[ ]?(?:[,.;]|$)|[ ](?:into|vs|against|damage|dmg|each)\b))?)
    | (?P<number>(?P<tight>(?<=[^\W\d_]))?(?P<saved>(?<=save[ ])|(?<=saves[ ])|(?<=sv[ ]))?
        (?:1,000\b|[0-9]+(?:\.[0-9]+)?))
      (?: (?P<up>\+(?![0-9])(?:'?s\b)? | [ ]\+(?![ ]?[0-9d])
            | [ -]?up\b | [ -]or[ -](?:better|more|higher|up|above|over|greater)\b | [ ]and[ ](?:up|above|over)\b
            | (?(saved)[ ](?:plus\b|\+(?![ ]?[0-9d]+[ ](?:attacks?|shots?)\b))|(?!)) | (?(tight)(?!)|[ ]plus)
              (?=[ ](?:to|save|saves|sv|armou?r|fixed|ignore|hit|hits|wound|wounds|strength|toughness|into|against|vs
                |minus|ap|in|rerolling|and|with|critical|crit|crits|damage|range|cover|melee|at|no|half|[st][0-9]+)\b
              | [,.;?!] | $) )
        | (?P<plural>'?s\b)
        | (?P<inch>[ ]?(?:"|'') | [ -]?inch(?:es)?\b | in\b | [ ]in\b(?![ ][a-z])) )?
    | (?P<signed>[+-][0-9]+(?:\.[0-9]+)?(?![0-9]|\+(?![0-9])|[ ]?d[ ]?[0-9]) | -[0-9]+(?![0-9]|\+(?![0-9])))
    | (?P<joint>(?<=[^\W_])-(?=[^\W\d_]))
    | (?P<word>\bd(?=d[0-9]) | [-=]{1,2}> | [→⇒➜➔] | re[- ]?roll(?:s|ing|ed)?\b | \brr(?=[0-9]|\b)
        | w/ | vs\.? | [^\W\d_]+(?:'[^\W\d_]+)?)
    | (?P<other>\S)
    """,
    re.VERBOSE,
)

# One spelling for words that mean the same clause word; nothing here loses a number or a negation.
SPELLINGS: Mapping[str, str] = {
    **dict.fromkeys(["attacks", "att", "atts", "atk", "atks", "attk", "attks"], "attack"),
    **dict.fromkeys(["shot", "shots", "swing", "swings"], "attack"),
    **dict.fromkeys(
        ["arrow", "arrows", "bullet", "bullets", "punch", "punches", "blow", "blows", "stab", "stabs"], "attack"
    ),
    **dict.fromkeys(["hits", "hitting", "hittin"], "hit"),
    **dict.fromkeys(["wounds", "wounding"], "wound"),
    **dict.fromkeys(NOUNS, MODEL),
    **dict.fromkeys(["dmg", "dam"], "damage"),
    **dict.fromkeys(["crit", "crits", "criticals"], "critical"),
    **dict.fromkeys(["saves", "saving", "sv"], "save"),
    **dict.fromkeys(["ignores", "ignoring", "ignored"], "ignore"),
    **dict.fromkeys(["armor"], "armour"),
    **dict.fromkeys(["vs", "vs.", "v", "versus"], "against"),
    **dict.fromkeys(["targets"], "target"),
    **dict.fromkeys(["needs", "needing", "needed"], "need"),
    "str": "strength",
    **dict.fromkeys(["lobbing", "lobs", "hurling", "hurls", "pelting", "pelts", "peppering"], "shooting"),
    **dict.fromkeys(["quik", "qick"], "quick"),
    **dict.fromkeys(["wat", "wut", "wot"], "what"),
    "squads": "squad",
    "units": "unit",
    "u": "you",
    "ur": "your",
    "r": "are",
    **dict.fromkeys(["->", "=>", "-->", "==>", "→", "⇒", "➜", "➔"], "into"),
    "w/": "with",
    "@": "at",
    "whats": "what's",
    "noncritical": "noncrit",
    "charges": "charge",
    "chg": "charge",
    "charging": "charge",
    "advancing": "advance",
    "advances": "advance",
    "inches": "inch",
    "dist": "distance",
    "rng": "range",
    "die": "dice",
    "&": "and",
    "×": "x",
}


_MARKS = frozenset(",;:.")


class Atom(NamedTuple):
    """One piece: its normal spelling, where it stands in the message, and whether it touches the one before."""

    text: str
    start: int
    end: int
    glued: bool


def _spelling(match: re.Match[str]) -> str:
    kind = match.lastgroup
    if kind == "word":
        text = match[0]
        rolls = text.startswith("re") and text.endswith(("roll", "rolls", "rolling", "rolled"))
        return "reroll" if rolls or text == "rr" else SPELLINGS.get(text, text)
    if kind in ("dice", "summed"):
        return match[0].replace(" ", "").replace("plus", "+")
    if kind in ("other", "signed"):
        return SPELLINGS.get(match[0], match[0])
    return match["number"].replace(",", "") + ("+" if kind == "up" else "s" if kind == "plural" else "")


def atoms(message: Message, by_lines: bool = False) -> list[Atom]:
    """The atoms of a message, in order, with a comma at each line break if `by_lines`.

    A Misread at those that are too many.
    """
    text, origin = with_digits(message.lines if by_lines else message.plain)
    found: list[Atom] = []
    last = -1
    for match in _ATOM.finditer(text):
        start, end = match.span()
        if match["joint"]:
            last = end
            continue
        if by_lines and found and (brk := text.find("\n", last, start)) >= 0 and found[-1].text not in _MARKS:
            found.append(Atom(",", *origin.place(brk, brk), glued=False))
        place = origin.place(start, end - 1)
        if len(found) >= MOST_ATOMS:
            message_text = f"I read at most {MOST_ATOMS:,} words, numbers and signs"
            raise Misread(message_text, (place[0], len(message.text)), hint="send it in parts")
        short = bool(found) and found[-1].text == "reroll"  # "rr1s" are two words
        found.append(Atom(_spelling(match), *place, glued=start == last and not short))
        if match["inch"]:
            mark = origin.place(match.start("inch"), end - 1)
            found.append(Atom('"' if _closes(message.text, mark) else "inch", *mark, glued=True))
        last = end
    return _with_words(without_chatter(without_kinds(_unlabelled(found))))


def _closes(text: str, mark: Span) -> bool:
    """Whether a curly mark behind a number closes a quotation and is no inch."""
    opened = text.count("“", 0, mark[0]) - text.count("”", 0, mark[0])
    return text[slice(*mark)].strip() == "”" and opened > 0


_LABELS = frozenset(
    [
        "attack",
        "hit",
        "s",
        "strength",
        "ap",
        "penetration",
        "damage",
        "d",
        "wound",
        "w",
        "t",
        "toughness",
        "save",
        "skill",
        "bs",
        "ws",
        "range",
        "distance",
        "dice",
        "a",
        "m",
        "move",
        "roll",
        "odds",
        "compare",
        "target",
        "weapon",
        "attacker",
        "defender",
        "ignore",
        "model",
    ]
)


def _swings(found: list[Atom], index: int) -> bool:
    """ "My brutes swing 3 attacks each": the verb before a number of attacks, behind those who make them."""
    ahead, behind = found[index - 1].text if index else "", [atom.text for atom in found[index + 1 : index + 3]]
    return ahead == MODEL and len(behind) == 2 and behind[0][:1].isdigit() and behind[1] in ("attack", "times")


_WITH = ("s", "strength", "dice", "ap", "bs", "ws")


def _with_words(found: list[Atom]) -> list[Atom]:
    """The atoms with "with" for the "w" of "T7 w S6", "save 3+ w dice 6 5"; a "w" before a number is a statistic."""
    for index, atom in enumerate(found[:-1]):
        if atom.text == "attack" and _swings(found, index):
            found[index] = atom._replace(text="make")
        if atom.text == "w" and not atom.glued and (found[index + 1].text in _WITH or found[index + 1].text[-1] == "+"):
            found[index] = atom._replace(text="with")
    return found


def _unlabelled(found: list[Atom]) -> list[Atom]:
    """The atoms without the colon of "hit: 4+"; a colon before "2 models" stays."""
    kept: list[Atom] = []
    for index, atom in enumerate(found):
        label = atom.text in (":", "=") and kept and kept[-1].text in _LABELS and index + 1 < len(found)
        label = label and not (kept[-1].text == "model" and len(kept) > 1 and kept[-2].text.isdigit())
        follows = found[index + 2].text if index + 2 < len(found) else ""
        if not label or follows in ("model", "attack", "dice") or not found[index + 1].text.lstrip("+-")[:1].isdigit():
            kept.append(atom)
    return kept


def _joined(found: list[Atom]) -> tuple[str, list[int]]:
    """The atoms as one line, and where each begins in it."""
    pieces: list[str] = []
    starts: list[int] = []
    at = 0
    after_word = after_digit = False
    for atom in found:
        stays = after_word and atom.glued and atom.text[0] in "0123456789+-" and len(atom.text) > 1
        stays = stays or (after_word and atom.glued and atom.text.isdigit())
        stays = stays or (after_digit and atom.glued and atom.text[0] in "+-" and len(atom.text) > 1)
        if pieces and not stays:
            pieces.append(" ")
            at += 1
        starts.append(at)
        pieces.append(atom.text)
        at += len(atom.text)
        after_word = atom.text[-1].isalpha()
        after_digit = atom.text.isdigit()
    return "".join(pieces), starts


@dataclass(frozen=True)
class Line:
    """Some atoms of a message as one line of text that clause patterns are matched against."""

    message: Message
    atoms: tuple[Atom, ...]

    @cached_property
    def _layout(self) -> tuple[str, list[int]]:
        return _joined(list(self.atoms))

    @property
    def text(self) -> str:
        return self._layout[0]

    @property
    def starts(self) -> list[int]:
        """Where each atom begins in `text`."""
        return self._layout[1]

    def index(self, at: int) -> int:
        """The number of the atom that covers position `at` of the line."""
        return max(bisect_right(self.starts, at) - 1, 0)

    def span(self, start: int, end: int) -> Span:
        """The place in the message of a piece of the line."""
        return self.atoms[self.index(start)].start, self.atoms[self.index(max(end - 1, start))].end

    @property
    def message_place(self) -> Span:
        """The place of the whole message, without blanks round it."""
        text = self.message.text
        return len(text) - len(text.lstrip()), len(text.rstrip())

    @property
    def place(self) -> Span:
        """The place in the message of the whole line."""
        return self.atoms[0].start, self.atoms[-1].end

    def part(self, first: int, last: int) -> Line:
        """The line of the atoms from `first` up to, not including, `last`."""
        whole = first == 0 and last >= len(self.atoms)
        return self if whole else Line(self.message, self.atoms[first:last])
