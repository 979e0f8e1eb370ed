"""Attacks step by step: beginning one, and the words and dice of one that is under way."""

from __future__ import annotations

import re

from bot.reading.context import Context
from bot.reading.said import Said
from bot.reading.strikes import faces_of
from bot.requests.action import Lesson, LessonDice, LessonFix, StepByStep

_STEPS = re.compile(
    r"(?:step by step|(?:1 )?step at a time|slowly|teach(?: me)?|walk (?:me|us) through|lesson)[:,]?(?: how)?(?: the)? (?P<what>.+)"
    r"|(?:play |roll |do |show )?(?P<before>.+?)[:,]? (?:step by step|(?:1 )?step at a time)"
)
_LESSON_WORDS = {
    "roll": r"(?:you )?(?:roll|throw)(?: (?:it|them|these|this|for me|it for me|the dice|dice|this step|please))*|next|go on|yes",
    "finish": r"finish(?: it| the attack| this| the rest)?|roll (?:the )?(?:rest|everything|all)(?: of it)?|do the rest|the rest",
    "stop": r"stop|leave(?: the lesson)?|leave it|(?:stop|end|leave|quit|cancel)(?: the| this)? (?:lesson|step by step)|enough|cancel",
    "show": r"(?:what|which|how many)(?: dice)?(?: now| again)?|repeat|again|help|what do i (?:need|roll)|what was (?:the|that) step",
}
_FIX = re.compile(
    r"(?:no[, ]+|sorry[, ]+|oops[, ]+)?(?:change |correct |fix |make |put )?(?:the )?(?:(?:die|dice)(?: number| no\.?)? (?P<die>\d{1,3})"
    r"|(?P<place>first|second|third|fourth|fifth|sixth|last) (?:die|1))(?: (?:to|was|is|into|shows?|showed|should be|should have been|really))*"
    r"(?: an?)? (?P<face>\d{1,3})"
)
_PLACES = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "last": 0}
_FACES = re.compile(
    r"(?:(?:i |we )?(?:rolled|threw|got|have)|my dice(?: are)?|dice)?[:,]? ?(?P<faces>\d+(?:[ ,]+(?:and )?\d+)*)"
)


def lesson(said: Said, context: Context) -> object | None:
    """Beginning a lesson, and the words and dice of one that is under way."""
    match = said.full(_STEPS)
    if match is not None:
        return StepByStep(said.words(match, "what") or said.words(match, "before"))
    if not context.memory.get("lesson"):
        return None
    for word, pattern in _LESSON_WORDS.items():
        if said.full(re.compile(pattern)):
            return Lesson(word)
    match = said.full(_FIX)
    if match is not None:
        return LessonFix(int(match["die"]) if match["die"] else _PLACES[match["place"]], int(match["face"]))
    match = said.full(_FACES)
    return None if match is None else LessonDice(faces_of(match["faces"]))
