"""Wounds onto models: who takes the next one, what it loses, who falls, live."""

from __future__ import annotations

from collections.abc import Sequence

from resolver.attack import TargetGroup


class Standing:
    """The target during a live roll: models and wounds left of each group, and what it has lost so far."""

    def __init__(self, groups: Sequence[TargetGroup]) -> None:
        self._groups = groups
        self._models = [group.models for group in groups]
        self._lost = [group.lost for group in groups]
        self.damage = 0
        self.slain = 0

    @property
    def group(self) -> int | None:
        """The number of the target group whose model takes the next wound; None when no model is left."""
        return next((number for number, models in enumerate(self._models) if models != 0), None)

    @property
    def left(self) -> tuple[tuple[int | None, int], ...]:
        """For each group the models left (None: large enough) and the wounds lost by its first model."""
        return tuple(zip(self._models, self._lost, strict=True))

    def take(self, points: int, spills: bool) -> None:
        """The first model loses `points`; what is past its last wound is lost, or spills onto the next."""
        while points and (number := self.group) is not None:
            dealt = min(points, self._groups[number].wounds - self._lost[number])
            self.damage += dealt
            self._lost[number] += dealt
            if self._lost[number] == self._groups[number].wounds:
                self._fall(number)
            points = points - dealt if spills else 0

    def _fall(self, number: int) -> None:
        models = self._models[number]
        self._models[number] = None if models is None else models - 1
        self._lost[number] = 0
        self.slain += 1
