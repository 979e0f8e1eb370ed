"""Who is who: one name for each account in each channel, readable, never changing, and never anybody else's.

The first to speak under a display name in a channel is called by it; whoever comes after with the same name (in
whatever capitals or look-alike letter forms) gets a number behind it: "Ada", "Ada 2". The name stays when
the account is renamed, so that seats and the record stay with it.
"""

from __future__ import annotations

import re
import threading
import unicodedata

from bot.ledger import Memory

# Where the names of a channel are remembered; no person can be called so, since names have no line break.
PEOPLE = "people\n"
LONGEST = 32
NOBODY = "somebody"
MENTION = re.compile(r"<@!?(\d{1,20})>")


class Names:
    """Names by channel and account. Asked from worker threads."""

    def __init__(self, memory: Memory) -> None:
        self._memory = memory
        self._lock = threading.Lock()
        self._known: dict[tuple[str, int], str] = {}

    def known(self, where: str, account: int) -> str | None:
        """The name, if it has been asked for before."""
        return self._known.get((where, account))

    def name(self, where: str, account: int, display: str) -> str:
        """The account's name in the channel; given now if it has none."""
        with self._lock:
            people = self._memory.recall(where, PEOPLE)
            name = people.get(str(account))
            if name is None:
                name = free(tidy(display), set(map(alike, people.values())))
                self._memory.remember(where, PEOPLE, {**people, str(account): name})
            self._known[where, account] = name
            return str(name)

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


def alike(name: str) -> str:
    """What names have in common that a reader would take for one another."""
    return unicodedata.normalize("NFKC", name).casefold()


def free(name: str, taken: set[str]) -> str:
    """The name itself, or with the first number behind it that makes it nobody else's."""
    number, candidate = 1, name
    while alike(candidate) in taken:
        number += 1
        candidate = f"{name} {number}"
    return candidate
