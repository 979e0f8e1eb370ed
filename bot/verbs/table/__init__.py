"""The verbs of the table, each beside the request that it answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply
from bot.requests import action, table
from bot.verbs.table import (
    act,
    agree,
    by_hand,
    charge,
    correct,
    customs,
    lesson,
    may,
    measured,
    open,
    phases,
    report,
    rosters,
    seats,
    strike,
    undo,
    where,
)

TABLE_VERBS: Mapping[type, Callable[[Any, Asked, House], Reply]] = {
    table.Open: open.open_table,
    table.Close: open.close,
    table.Rest: open.rest,
    table.Sit: seats.sit,
    table.Leave: seats.leave,
    table.LoadRoster: rosters.load,
    table.PasteRoster: rosters.paste,
    table.TypeRoster: rosters.typed,
    table.ExportRoster: rosters.export,
    table.FirstTurn: phases.first_turn,
    table.NextPhase: phases.next_phase,
    table.EndTurn: phases.next_phase,
    table.BackPhase: phases.back,
    table.Where: where.where,
    table.WhatNow: where.what_now,
    table.Units: where.units,
    table.ShowUnit: where.unit,
    table.Score: customs.score,
    table.OwnDice: customs.own_dice,
    table.Explain: customs.explain,
    table.Report: report.answer,
    table.Agreed: agree.agreed,
    table.Decline: agree.decline,
    action.Act: act.answer,
    action.ChargeAt: charge.answer,
    action.Strike: strike.answer,
    action.CompareByName: strike.compare,
    action.MayUnit: may.answer,
    action.Distance: measured.distance,
    action.HowFar: measured.how_far,
    action.Allocate: measured.allocate,
    action.SetModels: by_hand.answer,
    action.LoseWounds: by_hand.answer,
    action.SetDeed: by_hand.answer,
    action.SetEngaged: by_hand.answer,
    action.Undo: undo.answer,
    action.Correct: correct.answer,
    action.StepByStep: lesson.start,
    action.Lesson: lesson.word,
    action.LessonDice: lesson.dice,
    action.LessonFix: lesson.fix,
}
