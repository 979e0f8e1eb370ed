"""A reply made ready to be shown: its messages, its buttons, its picture."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import lru_cache
from io import BytesIO
from typing import Any

import discord

from bot.channels.discord_documents import Document, document_of
from bot.channels.discord_offers import Offer
from bot.channels.discord_paint import paint
from bot.channels.discord_views import view_of
from bot.channels.paint import plain
from bot.differing import cut
from bot.reply import Bars, Picture, Reply

log = logging.getLogger(__name__)

MOST_ALTERNATIVE = 1024
LONGEST_DRAWING = 10.0  # seconds before an answer goes without its picture; the first one loads the library
MOST_WAITING = 8  # pictures; an answer behind so many goes without
REST, LOST = "-# the rest of it is in the file", "-# the rest may be lost; ask again"
WIDTH = 80  # columns of a file
NO_MENTIONS = discord.AllowedMentions.none()


@dataclass(frozen=True)
class Drawn:
    """A picture, with the same in words."""

    body: bytes
    alternative: str


@dataclass(frozen=True)
class Shown:
    """The messages of one answer. `arguments` makes them anew for each attempt, since a file is sent but once.

    With `single` it is one message: where it would be several, the first of them, with a file for the others.
    """

    reply: Reply
    offers: Sequence[tuple[Offer, str]] = ()
    drawn: Drawn | None = None
    files: bool = True
    single: bool = False
    said: tuple[str, ...] = field(init=False)
    document: Document | None = field(init=False)

    def __post_init__(self) -> None:
        said, document = tuple(paint(self.reply, self.drawn is not None)), document_of(self.reply)
        if self.single and len(said) > 1:
            said = (f"{said[0]}\n{REST if self.files else LOST}",)
            document = document or Document("answer.txt", "The whole answer", plain(self.reply, WIDTH))
        object.__setattr__(self, "said", said)
        object.__setattr__(self, "document", document)

    @property
    def has_files(self) -> bool:
        """Whether files go with it."""
        return self.files and (self.drawn is not None or self.document is not None)

    def without_files(self) -> Shown:
        """The same in words only, for a place where files are not allowed."""
        return Shown(self.reply, self.offers, files=False)

    def in_one(self) -> Shown:
        """The same as a single message."""
        return replace(self, single=True)

    def in_words(self) -> Shown:
        """The same without its picture, which would take much room if it were kept."""
        return self if self.drawn is None else Shown(self.reply, self.offers, files=self.files)

    def _files(self) -> list[discord.File]:
        found: list[discord.File] = []
        if not self.files:
            return found
        if self.drawn is not None:
            said = cut(self.drawn.alternative, MOST_ALTERNATIVE)
            found.append(discord.File(BytesIO(self.drawn.body), "chances.png", description=said))
        if self.document is not None:
            body = BytesIO(self.document.text.encode())
            found.append(discord.File(body, self.document.name, description=self.document.about))
        return found

    def arguments(self, part: int) -> dict[str, Any]:
        """What a call that sends the message of this number needs; buttons and picture stand under the last."""
        whole: dict[str, Any] = {"content": self.said[part], "allowed_mentions": NO_MENTIONS}
        if part == len(self.said) - 1:
            view = view_of(self.offers)
            if view is not None:
                whole["view"] = view
            files = self._files()
            if files:
                whole["files"] = files
        return whole


def _left_out(reply: Reply) -> Iterator[str]:
    """The bars that the picture stands for, in words."""
    for block in reply.blocks:
        if isinstance(block, Bars):
            yield f"{block.title}: {', '.join(f'{label}: {text}' for label, _, text in block.rows)}."


class Studio:
    """Draws off the event loop, one picture at a time; a busy studio leaves answers in words, a closed one all."""

    def __init__(self, draw: Callable[[Picture], bytes], worker: Executor, open: bool = True) -> None:
        self._draw = lru_cache(maxsize=64)(draw)
        self._worker = worker
        self._waiting = 0 if open else MOST_WAITING

    async def drawn(self, reply: Reply) -> Drawn | None:
        """The reply's picture, if it has one and there is time for it."""
        picture = next((block for block in reply.blocks if isinstance(block, Picture)), None)
        if picture is None or self._waiting >= MOST_WAITING:
            return None
        self._waiting += 1
        future = asyncio.get_running_loop().run_in_executor(self._worker, self._draw, picture)
        future.add_done_callback(self._finished)
        done, _ = await asyncio.wait([future], timeout=LONGEST_DRAWING)
        if not done or future.exception() is not None:
            return None
        return Drawn(future.result(), " ".join((picture.alt, *_left_out(reply))))

    def _finished(self, future: asyncio.Future[bytes]) -> None:
        self._waiting -= 1
        if not future.cancelled() and future.exception() is not None:
            log.error("a picture could not be drawn", exc_info=future.exception())
