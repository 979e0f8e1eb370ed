"""The teaching layers: what each lesson brings back to the first game, and the ruleset that comes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from resolver.refused import Refused
from resolver.ruleset import Feature, Ruleset

FIRST_GAME = "first-game"
WHOLE_GAME = "standard"


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """One layer: a text of two minutes, one attack to `try`, and what to `look` for in its answer."""

    id: str
    title: str
    entry: str
    text: str
    attack: str
    look: str
    brings: tuple[Feature, ...] = ()
    brings_phases: bool = False

    def __post_init__(self) -> None:
        if not self.brings and not self.brings_phases:
            raise Refused("brings", f"the lesson {self.id} brings nothing back")


@dataclass(frozen=True, kw_only=True)
class LessonFile:
    """The lessons in their order."""

    family: str
    title: str
    lessons: tuple[Lesson, ...]


def layered(first: Ruleset, whole: Ruleset, lessons: Iterable[Lesson]) -> Ruleset:
    """The first game with what the lessons brought back; their values are those of the whole game."""
    lessons = tuple(lessons)
    back = {feature for lesson in lessons for feature in lesson.brings}
    return replace(
        first,
        without=tuple(feature for feature in first.without if feature not in back),
        modifier_cap=whole.modifier_cap if Feature.MODIFIERS in back else first.modifier_cap,
        cover=whole.cover if Feature.COVER in back else first.cover,
        phases=whole.phases if any(lesson.brings_phases for lesson in lessons) else first.phases,
    )
