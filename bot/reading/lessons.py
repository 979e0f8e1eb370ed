"""Attacks step by step: beginning one, and the words and dice of one that is under way."""

from __future__ import annotations

import re

from bot.reading.context import Context
from bot.reading.said import Said
from bot.reading.strikes import faces_of
from bot.requests.action import Lesson, LessonDice, StepByStep

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
    match = said.full(_FACES)
    return None if match is None else LessonDice(faces_of(match["faces"]))
