"""How the words of a clause can begin, so that only the clauses that could match are tried.

A beginning is three characters in which any number is written 0: "0 m" begins "10 models" and "5 men".
Knows as much of regular expressions as clause patterns use: literals, classes, groups, alternatives, repeats,
(?!…), (?<=…), (?<!…), which begin nothing, and (?=…), which stands at an end and counts like what follows.
"""

from __future__ import annotations

import re

LENGTH = 3
_HEAD = re.compile(rf"(?:[0-9]++|.){{0,{LENGTH}}}", re.DOTALL)
_NUMBER = re.compile(r"[0-9]+")
_DIGITS = re.compile(r"[0-9](?:-[0-9])?")
_PLAIN = re.compile(r"[^()|\[\\]+")
_LETTERS = re.compile(r"[a-z ]+(?![?*+{])")
_NOTHING = frozenset([""])


def beginning(text: str, at: int) -> str:
    """How the text begins at a place; blanks stand for what lies behind its end."""
    head = _HEAD.match(text, at)
    assert head is not None
    return _NUMBER.sub("0", head[0]).ljust(LENGTH)


def beginnings(pattern: str) -> frozenset[str]:
    """Every way in which a match of a clause pattern, which ends before a blank or the end, can begin."""
    found = _Reader(pattern).alternatives()
    assert all(start[1:] not in ("", " ") for start in found), f"a clause is longer than a character: {pattern}"
    return frozenset(start.ljust(LENGTH) for start in found)


def _joined(before: frozenset[str], after: frozenset[str]) -> frozenset[str]:
    """Each of the one followed by each of the other."""
    whole = {start for start in before if len(start) == LENGTH}
    return frozenset(whole.union(_beside(start, end) for start in before - whole for end in after))


def _beside(start: str, end: str) -> str:
    one_number = start[-1:] == "0" and end[:1] == "0"
    return (start + end[one_number:])[:LENGTH]


class _Reader:
    """Walks over a pattern. Each production gives the beginnings of what it has passed."""

    def __init__(self, pattern: str) -> None:
        self.pattern = pattern
        self.at = 0

    def peek(self) -> str:
        return self.pattern[self.at : self.at + 1]

    def take(self) -> str:
        self.at += 1
        return self.pattern[self.at - 1]

    def alternatives(self) -> frozenset[str]:
        found = self.sequence()
        while self.peek() == "|":
            self.take()
            found |= self.sequence()
        return found

    def sequence(self) -> frozenset[str]:
        found = _NOTHING
        while self.peek() not in ("", "|", ")") and any(len(start) < LENGTH for start in found):
            found = _joined(found, self.item())
        self.skip()
        return found

    def skip(self) -> None:
        """Past what is left of a sequence: only its beginning counts."""
        depth = 0
        while not (self.peek() == "" or (depth == 0 and self.peek() in "|)")):
            self.at = match.end() if (match := _PLAIN.match(self.pattern, self.at)) else self.at
            char = self.peek()
            if char == "\\":
                self.at += 2
            elif char == "[":
                self.at = self.pattern.index("]", self.at) + 1
            elif char in ("(", ")") and (depth or char == "("):
                depth += 1 if char == "(" else -1
                self.at += 1
            elif char == "|" and depth:
                self.at += 1

    def item(self) -> frozenset[str]:
        """Some letters, or a piece as often as its quantifier allows, as far as that is seen in a beginning."""
        letters = _LETTERS.match(self.pattern, self.at)
        if letters is not None:
            self.at = letters.end()
            return frozenset([letters[0][:LENGTH]])
        piece = self.piece()
        least, most = self.quantifier()
        found = _NOTHING if least == 0 else piece
        times = piece
        for _ in range(min(most, LENGTH) - 1):
            times = _joined(times, piece)
            found |= times
        return found | piece

    def quantifier(self) -> tuple[int, int]:
        """Whether the piece may be left out (0) or not (1), and how often it may stand."""
        sign = self.peek()
        if sign not in ("?", "*", "+", "{"):
            return 1, 1
        self.take()
        if sign == "{":
            least, most = self.pattern[self.at : self.pattern.index("}", self.at)].split(",")
            self.at = self.pattern.index("}", self.at) + 1
            return min(int(least), 1), int(most)
        if self.peek() == "+":
            self.take()  # never given back
        return (1 if sign == "+" else 0), (1 if sign == "?" else LENGTH)

    def piece(self) -> frozenset[str]:
        char = self.take()
        if char == "(":
            return self.group()
        if char == "[":
            return self.char_class()
        if char == "\\":
            char = self.take()
            return _NOTHING if char == "b" else frozenset(char)
        return _NOTHING if char == "$" else frozenset("0" if char.isdigit() else char)

    def group(self) -> frozenset[str]:
        opening = self.pattern[self.at : self.at + 3]
        if opening.startswith("?"):
            self.at = self.pattern.index(">", self.at) + 1 if opening == "?P<" else self.at + 2
            self.at += opening.startswith("?<")
        found = self.alternatives()
        self.take()
        return _NOTHING if opening.startswith(("?!", "?<")) else found

    def char_class(self) -> frozenset[str]:
        end = self.pattern.index("]", self.at)
        body = self.pattern[self.at : end]
        self.at = end + 1
        assert not body.startswith("^"), f"what may not stand there begins nothing: {self.pattern}"
        chars = _DIGITS.sub("0", body)
        assert "-" not in chars[:-1], f"no range but of digits: {self.pattern}"
        return frozenset(chars)
