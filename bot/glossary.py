"""The glossary: every entry, phase and ruling, read from the content rooms when first asked for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar

from bot.content import ROOM, ContentError, load

if TYPE_CHECKING:  # loaded by the first question, not by the first roll
    from bot.describing import Describing
    from bot.guide import PhaseGuide, Ruling
    from bot.layers import Lesson
    from bot.lookup import Lookup
    from bot.questions.judge import Judge
    from bot.questions.lexicon import Lexicon
    from bot.terms import Entry


class Named(Protocol):
    """Anything of the glossary that goes by an id."""

    @property
    def id(self) -> str: ...


Item = TypeVar("Item", bound=Named)


class Glossary:
    """`room` is the folder that holds glossary/. Nothing is read before it is needed."""

    def __init__(self, room: Path = ROOM) -> None:
        self.room = room / "glossary"

    @cached_property
    def entries(self) -> Mapping[str, Entry]:
        """Every entry by id."""
        from bot.terms import TermFile

        files = [load(path, TermFile) for path in self._files("terms")]
        return _by_id("entry", (entry for file in files for entry in file.entries))

    @cached_property
    def phases(self) -> Mapping[str, PhaseGuide]:
        """Every phase by id."""
        from bot.guide import PhaseGuide

        return _by_id("phase", (load(path, PhaseGuide) for path in self._files("phases")))

    @cached_property
    def rulings(self) -> Mapping[str, Ruling]:
        """Every ruling by id."""
        from bot.guide import RulingFile

        files = [load(path, RulingFile) for path in self._files("rulings")]
        return _by_id("ruling", (ruling for file in files for ruling in file.rulings))

    @cached_property
    def lessons(self) -> Mapping[str, Lesson]:
        """The teaching layers by id, in the order of teaching."""
        from bot.layers import LessonFile

        files = [load(path, LessonFile) for path in self._files("lessons")]
        return _by_id("lesson", (lesson for file in files for lesson in file.lessons))

    @cached_property
    def lexicon(self) -> Lexicon:
        """The words in which rulings are asked about."""
        from bot.questions.lexicon import Lexicon, LookalikeFile, WordFile

        lookalikes = self._files("lookalikes")
        return Lexicon(
            (load(path, WordFile) for path in self._files("words")),
            (load(path, LookalikeFile) for path in lookalikes),
        )

    @cached_property
    def lookup(self) -> Lookup:
        """Every name of every entry."""
        from bot.lookup import Lookup

        return Lookup(self.entries.values())

    @cached_property
    def describing(self) -> Describing:
        """Which entries a description comes nearest to."""
        from bot.describing import Describing

        return Describing(self.lookup)

    @cached_property
    def judge(self) -> Judge:
        """Whoever knows which ruling covers a question."""
        from bot.questions.judge import Judge

        return Judge(self.rulings.values(), self.lexicon.narrower)

    def _files(self, shelf: str) -> list[Path]:
        return sorted((self.room / shelf).glob("*.yaml"))


def _by_id(what: str, items: Iterable[Item]) -> dict[str, Item]:
    found: dict[str, Item] = {}
    for item in items:
        if item.id in found:
            raise ContentError([f"glossary: two {what} items are called {item.id}"])
        found[item.id] = item
    return found


def entry_ids(room: Path = ROOM) -> frozenset[str]:
    """The id of every entry, taken from its line: whoever only wants to know the names need not read all the rest."""
    texts = [path.read_text(encoding="utf-8") for path in (room / "glossary" / "terms").glob("*.yaml")]
    return frozenset(re.findall(r"(?m)^ +- id: (\S+)$", "\n".join(texts)))


def load_glossary(room: Path = ROOM) -> Glossary:
    """The glossary of a content room; its files are read when they are first needed."""
    return Glossary(room)
