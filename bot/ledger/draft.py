"""An entry in the making: the dice that may be drawn for it, and what the verb fills in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from resolver.refused import Refused, within
from resolver.sealed import Handful, Stream


class RanOut(Exception):
    """The player's own dice are fewer than the roll asks for: `missing` more dice for `throw`."""

    def __init__(self, throw: Handful, missing: int) -> None:
        super().__init__(f"{missing} more dice of {throw.sides} faces are needed")
        self.throw = throw
        self.missing = missing


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
        self._stream = stream
        self._own: list[int] = []

    def declare(self, faces: Sequence[int]) -> None:
        """From now on `dice` serves the player's own faces, in order, and the entry is marked as declared."""
        if self.faces and not self.declared:
            raise Refused("own dice", "own dice are declared before the first die of a roll")
        self.declared = True
        self._own.extend(faces)

    @property
    def unused(self) -> tuple[int, ...]:
        """Declared faces that no throw has asked for yet."""
        return tuple(self._own)

    def dice(self, throw: Handful) -> Sequence[int]:
        """The faces of a handful: from the sealed stream, or the player's own."""
        faces = self._declared(throw) if self.declared else self._stream(throw)
        self.sides += [throw.sides] * throw.count
        self.faces += faces
        return faces

    def _declared(self, throw: Handful) -> list[int]:
        faces = self._own[: throw.count]
        for face in faces:
            within(f"face of a die with {throw.sides} faces", face, 1, throw.sides)
        if len(faces) < throw.count:
            raise RanOut(throw, throw.count - len(faces))
        del self._own[: throw.count]
        return faces
