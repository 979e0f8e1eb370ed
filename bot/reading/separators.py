"""What stands between the weapon and its target, and between groups of either."""

from __future__ import annotations

import re

from bot.reading.atoms import Line
from bot.reading.filler import INTO, PUNCTUATION

# "at" before a bare number or inches is the distance, before a number of models or another word the target.
_AT_A_THING = re.compile(
    r"(?:at|on) (?:(?!(?:least|save|hit|wound|failed|strength|skill|damage|half)\b|(?:s|ap|bs|ws) ?-?[0-9])[a-z]"
    r"|[0-9]+ (?:(?:(?:t|toughness|w|sv|save) ?[0-9]+\+? )*"
    r"(?:model|enem(?:y|ies)|target|opponents?|foes?|person)|strong"
    r"|of (?:them|these|those|their)|[0-9]+ (?:w|wound)\b))"
)
# what may stand between groups beside "plus"
_LABEL = (
    r"(?:(?:the |my |our )?(?:second|2nd|third|3rd|fourth|4th|next|other) (?:weapon|gun|group|attack|profile)"
    r"|(?:weapon|gun|group|profile) [2-9]|next)(?: [:,-])?"
)
_JOINT = re.compile(
    r"(?:(?:,|;|\.) )?(?:(?:and (?:also|then)|and|then|also|\+|as well as|followed by|along with|together with"
    rf"|with also)(?: (?:another|the|my|our))?|(?:(?:and|then) )?{_LABEL})(?= )"
)
_COUNTED = re.compile(
    r"[,;.] (?=(?:the |my |our )?[0-9]+ model(?: [:,-])?(?: (?:with|make|making|have|has|at))?"
    r" [0-9]*d?[0-9]+ (?:attack|dice)\b)"
)
_HIT_A = re.compile(
    r"(?:hit|fights?) (?:(?:an?|the|their|your|his|those|these|some) (?![0-9]+[+s])|t ?[0-9]|[0-9]+ model)"
)


def is_into(line: Line, index: int) -> bool:
    """Whether the target begins behind this atom."""
    word = line.atoms[index].text
    pattern = _AT_A_THING if word in ("at", "on") else _HIT_A
    if word == "target" and (index + 1 == len(line.atoms) or line.atoms[index + 1].text in PUNCTUATION):
        return False  # "T5 is the target"
    return word in INTO or pattern.match(line.text, line.starts[index]) is not None


def past_joint(line: Line, index: int) -> int:
    """The atom behind the words that may join a further group here; 0 if these are none."""
    joint = _JOINT.match(line.text, line.starts[index]) or _COUNTED.match(line.text, line.starts[index])
    return 0 if joint is None else line.index(joint.end() - 1) + 1
