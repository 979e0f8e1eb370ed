"""An entry in the making: the dice that may be drawn for it, and what the verb fills in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from resolver.refused import Refused, within
from resolver.sealed import Handful, Stream


class RanOut(Exception):
    """The player's own dice are fewer than the roll asks for: `missing` more dice for `throw`."""

    def __init__(self, throw: Handful, missing: int) -> None:
        super().__init__(f"{missing} more dice of {throw.sides} faces are needed")
        self.throw = throw
        self.missing = missing


Source = Callable[[Any], Sequence[int]]


class Draft:
    """`dice` is a source of faces that remembers what it gave; the rest is for the verb to fill in."""

    def __init__(self, id: int, stream: Stream) -> None:
        self.id = id
        self.sides: list[int] = []
        self.faces: list[int] = []
        self.declared = False
        self.read = ""
        self.ruleset = ""
        self.data: dict[str, Any] = {}
        self._source: Source = stream

    def declare(self, faces: Sequence[int] | Source) -> None:
        """From now on `dice` serves the player's own faces (a list in order, or a source of them)."""
        if self.faces:
            raise Refused("own dice", "own dice are declared before the first die of a roll")
        self.declared = True
        self._source = faces if callable(faces) else OwnFaces(faces)

    def dice(self, throw: Handful) -> Sequence[int]:
        """The faces of a handful: from the sealed stream, or the player's own."""
        faces = list(self._source(throw))
        if len(faces) != throw.count or not all(1 <= face <= throw.sides for face in faces):
            raise ValueError(f"{throw.count} dice of {throw.sides} faces cannot show {faces}")
        self.sides += [throw.sides] * throw.count
        self.faces += faces
        return faces


class OwnFaces:
    """Faces served in order; complains of a face that the die does not have, and when they run out."""

    def __init__(self, faces: Sequence[int]) -> None:
        self._left = list(faces)

    @property
    def unused(self) -> int:
        """How many faces no throw has asked for yet."""
        return len(self._left)

    def __call__(self, throw: Handful) -> list[int]:
        faces = self._left[: throw.count]
        for face in faces:
            within(f"face of a die with {throw.sides} faces", face, 1, throw.sides)
        if len(faces) < throw.count:
            raise RanOut(throw, throw.count - len(faces))
        del self._left[: throw.count]
        return faces
