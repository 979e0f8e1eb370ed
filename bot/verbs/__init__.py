"""The verbs: one small file for each, answer(request, asked, house) -> Reply; the registry is written out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply
from bot.requests.attack import Compare, Odds, Roll
from bot.requests.dice import AdvanceDice, Charge, Charges, Needs, Reach, RollDice, RollOff
from bot.requests.questions import CanI, HouseRule, HouseRules, NextLesson, Phase, Rules, WhatIs
from bot.requests.record import (
    Audit,
    Cut,
    ForgetMe,
    Log,
    Luck,
    Recheck,
    Reveal,
    RollsOf,
    Show,
    ShowPage,
    WhoRolled,
    Why,
)
from bot.requests.words import CallWord, Help, Words
from bot.verbs import (
    advance,
    audit,
    can_i,
    charge,
    charges,
    compare,
    cut,
    dice,
    forget,
    help,
    house_rule,
    lesson,
    log,
    luck,
    needs,
    odds,
    page,
    phase,
    reach,
    recheck,
    reveal,
    roll,
    roll_off,
    rolls_of,
    show,
    what_is,
    who_rolled,
    why,
    words,
)
from bot.verbs.table import TABLE_VERBS

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
    **TABLE_VERBS,
    ShowPage: page.answer,
    Cut: cut.answer,
    Reveal: reveal.answer,
    Audit: audit.answer,
    Show: show.answer,
    Log: log.answer,
    WhoRolled: who_rolled.answer,
    RollsOf: rolls_of.answer,
    Recheck: recheck.answer,
    Why: why.answer,
    Luck: luck.answer,
    ForgetMe: forget.answer,
    WhatIs: what_is.answer,
    CanI: can_i.answer,
    Phase: phase.answer,
    HouseRule: house_rule.answer,
    HouseRules: house_rule.listed,
    NextLesson: lesson.answer,
    Rules: lesson.rules,
    Help: help.answer,
    CallWord: words.call,
    Words: words.show,
}
