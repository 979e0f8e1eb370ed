"""The verbs: one small file for each, answer(request, asked, house) -> Reply; the registry is written out.

A verb is loaded when it is first asked for, so that one message does not wait for all the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply

Verb = Callable[[Any, Asked, House], Reply]

# The request in bot/requests ("module.Class") -> the verb in bot/verbs ("module:function").
WRITTEN: Mapping[str, str] = {
    "attack.Roll": "roll:answer",
    "attack.Odds": "odds:answer",
    "dice.Needs": "needs:answer",
    "dice.SeveralNeeds": "needs:several",
    "dice.RollDice": "dice:answer",
    "dice.DiceChance": "dice_chance:answer",
    "attack.Compare": "compare:answer",
    "dice.Charge": "charge:answer",
    "dice.Charges": "charges:answer",
    "dice.Reach": "reach:answer",
    "dice.AdvanceDice": "advance:answer",
    "dice.RollOff": "roll_off:answer",
    "table.Open": "table.open:open_table",
    "table.Close": "table.open:close",
    "table.Rest": "table.open:rest",
    "table.Sit": "table.seats:sit",
    "table.Leave": "table.seats:leave",
    "table.LoadRoster": "table.rosters:load",
    "table.PasteRoster": "table.rosters:paste",
    "table.TypeRoster": "table.rosters:typed",
    "table.ExportRoster": "table.rosters:export",
    "table.FirstTurn": "table.phases:first_turn",
    "table.NextPhase": "table.phases:next_phase",
    "table.EndTurn": "table.phases:next_phase",
    "table.BackPhase": "table.phases:back",
    "table.Where": "table.where:where",
    "glance.Glance": "table.glance:answer",
    "glance.StatOf": "table.glance:stat",
    "table.WhatNow": "table.where:what_now",
    "table.WhatToRoll": "table.turn:to_roll",
    "table.WhoseTurn": "table.turn:whose_turn",
    "table.Units": "table.where:units",
    "table.ShowUnit": "table.where:unit",
    "table.Score": "table.customs:score",
    "table.OwnDice": "table.customs:own_dice",
    "table.Explain": "table.customs:explain",
    "table.Report": "table.report:answer",
    "table.Agreed": "table.agree:agreed",
    "table.Decline": "table.agree:decline",
    "action.Act": "table.act:answer",
    "action.ChargeAt": "table.charge:answer",
    "action.Strike": "table.strike:answer",
    "action.CompareByName": "table.strike:compare",
    "action.MayUnit": "table.may:answer",
    "action.MayDeeds": "table.may:several",
    "action.Distance": "table.measured:distance",
    "action.HowFar": "table.measured:how_far",
    "action.Allocate": "table.measured:allocate",
    "action.SetModels": "table.by_hand:answer",
    "action.LoseWounds": "table.by_hand:answer",
    "action.SetDeed": "table.by_hand:answer",
    "action.SetEngaged": "table.by_hand:answer",
    "action.Undo": "table.undo:answer",
    "action.Correct": "table.correct:answer",
    "action.StepByStep": "table.lesson:start",
    "action.Lesson": "table.lesson:word",
    "action.LessonDice": "table.lesson:dice",
    "action.LessonFix": "table.lesson:fix",
    "record.ShowPage": "page:answer",
    "record.Cut": "cut:answer",
    "record.Reveal": "reveal:answer",
    "record.Audit": "audit:answer",
    "record.Show": "show:answer",
    "record.Log": "log:answer",
    "record.WhoRolled": "who_rolled:answer",
    "record.RollsOf": "rolls_of:answer",
    "record.Recheck": "recheck:answer",
    "record.Why": "why:answer",
    "record.Luck": "luck:answer",
    "record.LuckOfOne": "luck:of_one",
    "record.ForgetMe": "forget:answer",
    "questions.WhatIs": "what_is:answer",
    "questions.CanI": "can_i:answer",
    "questions.Phase": "phase:answer",
    "questions.HouseRule": "house_rule:answer",
    "questions.HouseRules": "house_rule:listed",
    "questions.NextLesson": "lesson:answer",
    "questions.Rules": "lesson:rules",
    "talk.Remark": "remark:answer",
    "talk.Dispute": "dispute:answer",
    "talk.Mend": "mend:answer",
    "talk.Closer": "table.closer:answer",
    "words.Help": "help:answer",
    "words.CallWord": "words:call",
    "words.Words": "words:show",
}


class Registry(Mapping[type, Verb]):
    """The verb that answers a class of requests."""

    def __init__(self, written: Mapping[str, str]) -> None:
        self._written = written

    def __getitem__(self, request: type) -> Verb:
        home = request.__module__.removeprefix("bot.requests.")
        module, _, function = self._written[f"{home}.{request.__name__}"].partition(":")
        verb: Verb = getattr(import_module(f"bot.verbs.{module}"), function)
        return verb

    def __iter__(self) -> Iterator[type]:
        for name in self._written:
            module, _, request = name.rpartition(".")
            yield getattr(import_module(f"bot.requests.{module}"), request)

    def __len__(self) -> int:
        return len(self._written)


VERBS = Registry(WRITTEN)
