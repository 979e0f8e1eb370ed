"""Who is who: one name for each account in each channel, readable, never changing, and never anybody else's.

The first to speak under a display name in a channel is called by it; whoever comes after with the same name (in
whatever capitals or letter forms, or in Cyrillic or Greek letters that look like it) gets a number behind it: "Ada",
"Ada 2". The name stays when the account is renamed, so that seats and the record stay with it.
"""

from __future__ import annotations

import logging
import re
import threading
import unicodedata

from bot.ledger import LedgerError, Memory

# The usual Cyrillic and Greek letters that look like a Latin one, under it; from memory, and no whole list.
_LOOKS = (
    str.maketrans("АВЕЅІЈКМНОРСТУХ", "ABESIJKMHOPCTYX")
    | str.maketrans("аеѕіјкорсухԁһ", "aesijkopcyxdh")
    | str.maketrans("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX")
    | str.maketrans("ανικορυχ", "avikopux")
)
# Where the names of a channel are remembered; no person can be called so, since names have no line break.
PEOPLE = "people\n"
LONGEST = 32
NOBODY = "somebody"
MENTION = re.compile(r"<@!?(\d{1,20})>")


log = logging.getLogger(__name__)


class Names:
    """Names by channel and account. Asked from worker threads."""

    def __init__(self, memory: Memory) -> None:
        self._memory = memory
        self._lock = threading.Lock()
        self._known: dict[tuple[str, int], str] = {}
        self._unkept: dict[str, dict[str, str]] = {}  # by channel, while the record takes no names

    def known(self, where: str, account: int) -> str | None:
        """The name, if it has been asked for before."""
        return self._known.get((where, account))

    def name(self, where: str, account: int, display: str) -> str:
        """The account's name in the channel; given now if it has none."""
        with self._lock:
            people = self._memory.recall(where, PEOPLE) | self._unkept.get(where, {})
            name = people.get(str(account))
            if name is None:
                name = free(tidy(display), frozenset().union(*map(alike, people.values())))
            self._keep(where, account, {**people, str(account): name})
            return str(name)

    def _keep(self, where: str, account: int, people: dict[str, str]) -> None:
        """A question needs no record: a name that cannot be written is held until it can."""
        try:
            self._memory.remember(where, PEOPLE, people)
        except LedgerError as error:
            log.error("ledger: %s", error)
            self._unkept[where] = people
            return
        self._unkept.pop(where, None)
        self._known[where, account] = people[str(account)]

    def spelled(self, where: str, text: str) -> str:
        """The text with the names of those it mentions; who never spoke in the channel is nobody that can be meant."""
        people = self._memory.recall(where, PEOPLE)
        return MENTION.sub(lambda match: str(people.get(match[1], f"@{NOBODY}")), text)

    def forget(self, where: str, account: int) -> None:
        """Let go of the account's name in the channel."""
        with self._lock:
            people = self._memory.recall(where, PEOPLE)
            people.pop(str(account), None)
            self._memory.remember(where, PEOPLE, people)
            self._known.pop((where, account), None)


def tidy(display: str) -> str:
    """A display name as one short line of printable characters."""
    line = " ".join("".join(char if char.isprintable() else " " for char in display).split())
    return line[:LONGEST].strip() or NOBODY


def alike(name: str) -> frozenset[str]:
    """What it shares with every name that a reader would take it for: its letters in any capitals, and their looks."""
    plain = unicodedata.normalize("NFKC", name)
    return frozenset((plain.casefold(), plain.translate(_LOOKS).casefold()))


def free(name: str, taken: frozenset[str]) -> str:
    """The name itself, or with the first number behind it that makes it nobody else's."""
    number, candidate = 1, name
    while alike(candidate) & taken:
        number += 1
        candidate = f"{name} {number}"
    return candidate
