"""Who asked what, where: the one thing a channel hands to the app."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Asked:
    """`event` is the channel's own id of the message, so that a message delivered twice never rolls twice.

    `moderator` is what the channel says of the person's standing there.
    """

    text: str
    who: str
    where: str
    event: str | None = None
    moderator: bool = False
