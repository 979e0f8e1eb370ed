"""The part of a table of chances that is looked at, and where in the table it lies."""

from __future__ import annotations

from resolver.counts import Distribution


class Part:
    """The cells of a table from row `top` and column `left` on; all else is nothing."""

    def __init__(self, cells: Distribution, top: int = 0, left: int = 0) -> None:
        self.cells, self.top, self.left = cells, top, left

    def __bool__(self) -> bool:
        return self.cells.size > 0

    @property
    def bottom(self) -> int:
        """The row past the last one."""
        return self.top + int(self.cells.shape[0])

    @property
    def right(self) -> int:
        """The column past the last one."""
        return self.left + int(self.cells.shape[1])
