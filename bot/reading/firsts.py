"""The characters with which a clause pattern can begin, so that only the clauses that could match are tried.

Knows as much of regular expressions as clause patterns use: literals, classes, groups, alternatives, repeats,
and the zero-width (?=…), (?!…), (?<=…), (?<!…).
"""

from __future__ import annotations

import re
import string
from dataclasses import dataclass

_PLAIN = re.compile(r"[^()|\[\\]+")


@dataclass
class _Reader:
    pattern: str
    at: int = 0

    def peek(self) -> str:
        return self.pattern[self.at : self.at + 1]

    def take(self) -> str:
        self.at += 1
        return self.pattern[self.at - 1]

    def alternatives(self) -> tuple[set[str], bool]:
        """The first characters of `a|b|c`, and whether it can be empty."""
        firsts, empty = self.sequence()
        while self.peek() == "|":
            self.take()
            more, also = self.sequence()
            firsts, empty = firsts | more, empty or also
        return firsts, empty

    def sequence(self) -> tuple[set[str], bool]:
        firsts: set[str] = set()
        empty = True
        while empty and self.peek() not in ("", "|", ")"):
            more, empty = self.item()
            firsts |= more
        self.skip()
        return firsts, empty

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

    def item(self) -> tuple[set[str], bool]:
        firsts, empty = self.piece()
        quantifier = self.peek()
        if quantifier in ("?", "*", "+"):
            self.take()
        elif quantifier == "{":
            closing = self.pattern.index("}", self.at)
            quantifier = "*" if self.pattern[self.at + 1] == "0" else "+"
            self.at = closing + 1
        if quantifier in ("?", "*") and self.peek() == "+":
            self.take()  # never given back
        return firsts, empty or quantifier in ("?", "*")

    def piece(self) -> tuple[set[str], bool]:
        char = self.take()
        if char == "(":
            return self.group()
        if char == "[":
            return self.char_class(), False
        if char == "\\":
            char = self.take()
            return (set(), True) if char == "b" else ({char}, False)
        return (set(), True) if char == "$" else ({char}, False)

    def group(self) -> tuple[set[str], bool]:
        zero_width = False
        if self.peek() == "?":
            opening = self.pattern[self.at : self.at + 3]
            zero_width = opening.startswith(("?=", "?!", "?<"))
            self.at = self.pattern.index(">", self.at) + 1 if opening.startswith("?P") else self.at + 2
            if opening.startswith("?<"):
                self.at += 1
        firsts, empty = self.alternatives()
        self.take()
        return (set(), True) if zero_width else (firsts, empty)

    def char_class(self) -> set[str]:
        negated = self.peek() == "^"
        end = self.pattern.index("]", self.at)
        body = self.pattern[self.at + negated : end]
        self.at = end + 1
        chars = set(string.digits) | set(body.removeprefix("0-9")) if body.startswith("0-9") else set(body)
        return set(string.printable) - chars if negated else chars


def first_characters(pattern: str) -> frozenset[str]:
    """Every character with which a match of the pattern can begin."""
    firsts, empty = _Reader(pattern).alternatives()
    assert not empty, f"a clause pattern must not match nothing: {pattern}"
    return frozenset(firsts)
