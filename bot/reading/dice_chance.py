"""The chance of what dice show, no attack and no charge behind it.

chance = ["exactly" | "at least" | "at most"] number ["or more" | "or less"] "on" dice
       | dice [level]                                    without a level: what the dice show on average
       | "roll" number                                   on one die of the ruleset
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.clause import amount, compiled
from bot.requests.dice import DiceChance
from resolver.amount import Amount

_ROLLING = (
    r"(?:(?:to |of |that |often |likely |for )*(?:(?:it|i|we|he|she|they|you|am|is|are|do|does|will|would|can|to) )*"
    r"(?:rolls?|rolling|gets?|getting|throws?|throwing|scores?|scoring|have|has|having|shows?|showing) )"
)
_LEVEL = (
    r"(?:(?:the total (?:is|of) |a total of )?(?:"
    r"(?:at least|no less than|not less than|minimum) (?:an? )?(?P<least>[0-9]{1,5})"
    r"|(?:at most|no more than|not more than|maximum|up to) (?:an? )?(?P<most>[0-9]{1,5})"
    r"|(?:more than|over|above|higher than|better than) (?:an? )?(?P<above>[0-9]{1,5})"
    r"|(?:less than|under|below|lower than|fewer than) (?:an? )?(?P<below>[0-9]{1,5})"
    r"|(?:an? )?(?P<up>[0-9]{1,5})(?:\+| or (?:more|better|higher|above|over))"
    r"|(?:an? )?(?P<down>[0-9]{1,5}) or (?:less|fewer|lower|worse|under|below)"
    r"|(?:exactly |precisely |just )?(?:an? )?(?P<exact>[0-9]{1,5})(?: exactly)?))"
)
_ON = r" (?:on|with|from|using|in|out of) (?:an? |the )?"
_DICE = r"(?:(?P<many>[0-9]{1,3} )?dice|<dice>)"
_SHAPES = tuple(
    compiled(shape)
    for shape in (
        rf"{_ROLLING}?{_LEVEL}{_ON}{_DICE}",
        rf"(?:the |an? )?<dice>(?:(?: of| :| ,)? {_LEVEL})?(?: average| on average)?",
        rf"{_ROLLING}{_LEVEL}",
    )
)
_END = re.compile(r"(?: please| exactly| [?.!,])*")
_DIRECTIONS: Mapping[str, tuple[int | None, int | None]] = {  # what is added to the number for the least and the most
    "least": (0, None),
    "up": (0, None),
    "above": (1, None),
    "most": (None, 0),
    "down": (None, 0),
    "below": (None, -1),
    "exact": (0, 0),
}


def dice_chance(line: Line, die: int) -> DiceChance | None:
    """What is asked of dice alone, if nothing else is said."""
    for shape in _SHAPES:
        match = shape.match(line.text)
        if match is not None and _END.fullmatch(line.text, match.end()):
            return _asked(line, match, die)
    return None


def _asked(line: Line, match: re.Match[str], die: int) -> DiceChance:
    said = {name.rpartition("_")[0]: text for name, text in match.groupdict().items() if text is not None}
    dice = _dice(line, match, said, die)
    name = next((name for name in _DIRECTIONS if name in said), None)
    if name is None:
        return DiceChance(amount=dice)
    least, most = (None if add is None else int(said[name]) + add for add in _DIRECTIONS[name])
    return DiceChance(amount=dice, least=least, most=most)


def _dice(line: Line, match: re.Match[str], said: Mapping[str, str], die: int) -> Amount:
    """The dice that are named; "two dice" and none at all are those of the ruleset."""
    if "dice" in said:
        return amount(said["dice"], line.span(*match.span("dice_1")))
    many = int(said.get("many", "1"))
    if not many:
        raise Misread("no dice show nothing", line.span(*match.span()), hint="odds 2d6 at least 9")
    return amount(f"{many}d{die}", line.span(*match.span()))
