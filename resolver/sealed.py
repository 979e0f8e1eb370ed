"""The sealed stream: every face follows from a secret fixed beforehand and from the players' cuts.

The idea of committing to chance before it is used is M. Blum's (Coin flipping by telephone, 1981). The
primitives are SHA-256 (FIPS 180-4) and HMAC (RFC 2104, test vectors in RFC 4231); bytes become faces by the
simple discard method (NIST SP 800-90A, appendix on converting random bits into a random number). Pure: the
secret is an argument, and nothing is drawn here.
"""

from __future__ import annotations

import hashlib
import hmac
import unicodedata
from collections.abc import Iterator, Sequence
from typing import Protocol

from resolver.refused import Refused, within

FORMAT = "drumhead page 1"
SECRET_BYTES = 32
LONGEST_CUT = 100
MOST_SIDES = 100
_UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}  # control, format, half characters, line and paragraph breaks
_JOINER = "\u200d"  # holds some emoji together


class Handful(Protocol):
    """Dice of one kind asked for at once (resolver.live.Throw is one)."""

    @property
    def sides(self) -> int: ...

    @property
    def count(self) -> int: ...


def commitment(secret: bytes) -> str:
    """SHA-256 of the secret's bytes, as 64 hexadecimal digits."""
    return hashlib.sha256(secret).hexdigest()


def page_key(secret: bytes, page: str, cuts: Sequence[str]) -> bytes:
    """The key (32 bytes) of all rolls of a page: HMAC-SHA-256 under the secret of format, id and cuts."""
    message = f"{FORMAT}\n{page}\n" + "\n".join(cuts)
    return hmac.digest(secret, message.encode(), "sha256")


def checked_cut(words: str) -> str:
    """The cut as it will be joined: one line of 1 to LONGEST_CUT printable characters; else Refused."""
    words = words.strip()
    if not words:
        raise Refused("cut", "a cut is a line of your own words, such as: cut the tide is coming in")
    within("length of a cut", len(words), 1, LONGEST_CUT)
    if any(unicodedata.category(char) in _UNSEEN and char != _JOINER for char in words):
        raise Refused("cut", "a cut is one line, without line breaks or control characters")
    return words


def bytes_of_roll(key: bytes, roll: int) -> Iterator[int]:
    """The endless bytes (0 to 255) of one roll: blocks HMAC-SHA-256(key, "roll:block"), block from 0."""
    block = 0
    while True:
        yield from hmac.digest(key, f"{roll}:{block}".encode(), "sha256")
        block += 1


class Stream:
    """The faces of one roll, drawn in order; dice of different sides go on reading the same bytes."""

    def __init__(self, key: bytes, roll: int) -> None:
        self._bytes = bytes_of_roll(key, roll)

    def face(self, sides: int) -> int:
        """The next face, 1 to `sides` (2 to MOST_SIDES), each exactly equally likely."""
        within("number of faces", sides, 2, MOST_SIDES)
        limit = 256 - 256 % sides
        byte = next(value for value in self._bytes if value < limit)
        return byte % sides + 1

    def __call__(self, throw: Handful) -> list[int]:
        """The `throw.count` faces of a handful."""
        return [self.face(throw.sides) for _ in range(throw.count)]
