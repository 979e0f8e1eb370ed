"""The verbs: one small file for each, answer(request, asked, house) -> Reply. The registry is written out here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply
from bot.requests.attack import Compare, Odds, Roll
from bot.requests.dice import AdvanceDice, Charge, Charges, Needs, Reach, RollDice, RollOff
from bot.verbs import advance, charge, charges, compare, dice, needs, odds, reach, roll, roll_off

Verb = Callable[[Any, Asked, House], Reply]

VERBS: Mapping[type, Verb] = {
    Roll: roll.answer,
    Odds: odds.answer,
    Needs: needs.answer,
    RollDice: dice.answer,
    Compare: compare.answer,
    Charge: charge.answer,
    Charges: charges.answer,
    Reach: reach.answer,
    AdvanceDice: advance.answer,
    RollOff: roll_off.answer,
}
