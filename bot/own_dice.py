"""A player's own dice as a source of faces: served in the order asked, and asked for when they run out."""

from __future__ import annotations

from collections.abc import Sequence

from bot.misread import Misread
from bot.wording import plural
from resolver.live import Throw


class OwnDice:
    """Faces typed from real dice. Impossible faces and missing dice are complained about kindly."""

    def __init__(self, faces: Sequence[int], pending: str) -> None:
        self._faces = tuple(faces)
        self._pending = pending
        self.used = 0

    @property
    def left(self) -> int:
        return len(self._faces) - self.used

    def __call__(self, throw: Throw) -> Sequence[int]:
        """The next `throw.count` faces."""
        faces = self._faces[self.used : self.used + throw.count]
        if len(faces) < throw.count:
            raise Misread(
                self._ask(throw, throw.count - len(faces)), missing="dice", pending=self._pending, hint="6 4 1"
            )
        for face in faces:
            if not 1 <= face <= throw.sides:
                raise Misread(f"a die of the {throw.step} step shows 1 to {throw.sides}, got {face}")
        self.used += throw.count
        return faces

    @staticmethod
    def _ask(throw: Throw, count: int) -> str:
        again = " again" if throw.again else ""
        number = f", needing {throw.check.text}" if throw.check is not None and throw.check.needed else ""
        dice = f"d{throw.sides}" if throw.sides != 6 else "die" if count == 1 else "dice"
        return f"{plural(count, 'more').removesuffix('s')} {dice} to throw{again} for the {throw.step} step{number}"
