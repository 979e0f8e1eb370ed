"""Who asked what, where: the one thing a channel hands to the app."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """Something asked back: an answer completes the message `pending` by the part that is `missing`, if one is.

    `id` names it in its channel. A question that is asked in answering another is still the same.
    """

    id: str
    pending: str = ""
    missing: str = ""


@dataclass(frozen=True)
class Matter:
    """What a reply speaks of: an attack, if the umpire told of one there, if it was rolled, and the entry's number."""

    attack: str = ""
    rolled: bool = False
    entry: int | None = None


@dataclass(frozen=True)
class Asked:
    """`event` is the channel's own id of the message, so that a message delivered twice never rolls twice.

    `moderator` is what the channel says of the person's standing there; `question` is what the message answers, where
    the channel knows. `press` is the id of this very press of a button whose presses share one event. `alone` is for
    a request that completes nothing said before; `matter` for one that replies to what was said before the last.
    `private` is for one whose answer the asker alone sees, unless something comes of it for all.
    """

    text: str
    who: str
    where: str
    event: str | None = None
    moderator: bool = False
    question: Question | None = None
    press: str | None = None
    alone: bool = False
    matter: Matter | None = None
    private: bool = False

    @property
    def closes_nothing(self) -> bool:
        """Whether what the person's last message left open has nothing to do with it, and stays open."""
        return self.question is None and (self.alone or self.matter is not None)
