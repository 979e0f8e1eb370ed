"""What people say round a message and that changes nothing, where it takes several words: a written list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.reading.atoms import Atom

_PHRASES = """
good morning; good afternoon; good evening; good day
good morning everyone; good afternoon everyone; good evening everyone; good day everyone; hello everyone; hi everyone
good morning all; good afternoon all; good evening all; morning all; evening all; hi all; hello all; hey all
hi there; hello there; hey there; hi again; hello again
hope you're well; hope you are well; hope you're all well; hope all is well; hope everyone is well
by the way; no rush; if you don't mind; if you please; when you get a chance; for my mate; for my friend; for a friend
so i was thinking; i was thinking; i was just thinking; so i was wondering; i was wondering; i was just wondering
i'm learning; i'm learning the game; i'm still learning; still learning; learning the game
i'm new; i'm new here; i'm new to this; i'm new at this; i'm new to the game
new player; new player here; i'm a new player
new here; first time here
beginner question; beginner's question; a beginner question; a beginner's question; newbie question; a newbie question
silly question; a silly question; stupid question; a stupid question; dumb question; a dumb question
simple question; a simple question; a quick question; small question; a small question
pretty please; thank you; thank you very much; thank you so much; thanks a lot; thanks in advance; many thanks
ok last 1 sorry; last 1 sorry; last 1 ,; last 1 :; 1 more :; 1 more ,; sorry 1 more; not sure i say this right
i'm not sure i say this right; i'm not sure i say this right but; not sure how to say this; not sure how to say this but
not sure if this is right; not sure if this is right but; i'm not sure how to say this; i'm not sure how to say this but
cheers mate; thanks mate; ta very much; good luck to me; wish me luck; fingers crossed
"""


def _by_first() -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    phrases = {tuple(phrase.split()) for line in _PHRASES.splitlines() for phrase in line.split(";") if phrase.strip()}
    for phrase in sorted(phrases, key=len, reverse=True):
        found.setdefault(phrase[0], []).append(phrase)
    return found


_BY_FIRST = _by_first()


def without_chatter(words: list[Atom]) -> list[Atom]:
    """The words without such phrases; all of them if nothing else was said."""
    if not any(word.text in _BY_FIRST for word in words):
        return words
    kept: list[Atom] = []
    at = 0
    while at < len(words):
        taken = _phrase_at(words, at)
        if not taken:
            kept.append(words[at])
        at += taken or 1
    return kept if any(any(char.isalnum() for char in word.text) for word in kept) else words


def _phrase_at(words: Sequence[Atom], at: int) -> int:
    """How many words such a phrase takes here; 0 if there is none."""
    for phrase in _BY_FIRST.get(words[at].text, ()):
        if tuple(word.text for word in words[at : at + len(phrase)]) == phrase:
            return len(phrase)
    return 0
