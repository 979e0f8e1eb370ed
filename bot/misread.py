"""What a message may lack: the two ways in which reading stops, each with a way out for the player."""

from __future__ import annotations

Span = tuple[int, int]


class Misread(Exception):
    """The message could not be read. `at` is the guilty span (start, end) in the message as typed.

    `missing` names the one part asked for ("save"); `hint` is the nearest thing that would work; `offers` are whole
    messages that would, the first of them the hint; `also` is the second place of a contradiction; `pending` is the
    message that the missing part would complete.
    """

    def __init__(
        self,
        message: str,
        at: Span | None = None,
        *,
        hint: str | None = None,
        missing: str | None = None,
        also: Span | None = None,
        pending: str | None = None,
        offers: tuple[str, ...] = (),
    ) -> None:
        super().__init__(message)
        self.message = message
        self.at = at
        self.hint = hint or next(iter(offers), None)
        self.offers = offers
        self.missing = missing
        self.also = also
        self.pending = pending

    def of_part(self, part: str, typed: str, lead: str) -> Misread:
        """The same complaint where only `part` of what was typed was read; an answer completes it behind its `lead`."""
        start = typed.find(part)
        if self.at is not None:
            self.at = (self.at[0] + start, self.at[1] + start) if start >= 0 else None
        if self.missing is not None:
            self.pending = f"{lead}{self.pending or part}"
        return self


class NobodyThere(Misread):
    """The message was read as one about the table, and names nobody on it."""


class Unsure(Exception):
    """Two or more readings are possible; `choices` are whole messages (or answers) to pick from."""

    def __init__(self, message: str, choices: tuple[str, ...]) -> None:
        super().__init__(message)
        self.message = message
        self.choices = choices
