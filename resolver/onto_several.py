"""An attack on several target groups, saved one at a time: the distributions of unsaved wounds and of damage."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from resolver.counts import Distribution
from resolver.several.line import Blow, Hand, Line
from resolver.several.passing import Ends, Onward, passed
from resolver.several.patches import Patch
from resolver.several.walking import steps_of, walked

FEW = 3_000_000  # multiplications up to which walking wound by wound is quicker

_NOTHING = 1e-15  # the rounding of a chance


def reckoned(
    line: Line, dealt: Sequence[tuple[Hand, Sequence[Blow]]], few: int = FEW
) -> tuple[Distribution, Distribution]:
    """The distributions of unsaved wounds and of damage; entry k is the chance of exactly k.

    `dealt` has the wounds of each weapon group and what one of them does to each target group. The second
    distribution ends with the damage that slays the last model. Wounds are walked one by one where that takes no
    more than `few` multiplications. Raises Refused beyond the limits of work.
    """
    state = Patch(np.ones((1, 1)))
    *before, (hand, blows) = dealt
    for earlier in before:
        state = _onward(line, state, *earlier, few)
    if _walks(line, state, hand, blows, few):
        state = walked(line, state, hand, blows)
        found = state.rows_summed(), np.pad(state.columns(), (0, line.last + 1 - state.right))
    else:
        ends = Ends(state, hand, line)
        passed(line, state, hand, blows, ends)
        found = ends.unsaved, ends.damage
    unsaved, damage = (np.where(law > _NOTHING, law, 0.0) for law in found)
    return unsaved, damage


def _onward(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow], few: int) -> Patch:
    if _walks(line, state, hand, blows, few):
        return walked(line, state, hand, blows)
    onward = Onward(line)
    passed(line, state, hand, blows, onward)
    return onward.state


def _walks(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow], few: int) -> bool:
    """Whether the wounds are walked one by one: something passes from group to group beside them, or they are few.

    That is what spills, and the single save of the step that may be thrown again in more than one group.
    """
    shared = sum(bool(blow.save.one_again) for blow in blows) > 1
    return shared or blows[0].spills or steps_of(line, state, hand, blows) <= few
