"""next lesson: one layer comes back to the first game; rules: the rulesets, and which one this channel plays."""

from __future__ import annotations

from dataclasses import replace

from bot.asked import Asked
from bot.house import House
from bot.layers import FIRST_GAME, Lesson
from bot.misread import Misread
from bot.questions.values import values_of
from bot.reply import Line, Note, Reply
from bot.requests.questions import NextLesson, Rules
from bot.rights import of_the_opener

LAYERS, RULESET = "layers", "ruleset"
_CHANGES = "changes the rules while it is open"


def answer(request: NextLesson, asked: Asked, house: House) -> Reply:
    """Bring back the next layer, explain it and give one attack to try."""
    settings = house.memory.recall(asked.where)
    if settings.get(RULESET, FIRST_GAME) != FIRST_GAME:
        said = f"The lessons build on the first game; this channel plays {house.ruleset(asked.where).title}."
        return _told(said, (Note("`rules first-game` begins again from there."),), ("rules first-game",))
    done = [id for id in settings.get(LAYERS, []) if id in house.glossary.lessons]
    left = [lesson for id, lesson in house.glossary.lessons.items() if id not in done]
    if request.again:
        return _taught(house.glossary.lessons[done[-1]], len(done), asked, house) if done else _begin()
    if not left:
        said = "That was the last lesson: every layer is back, and you play the whole game."
        return _told(said, (Note("`rules standard` says so for good."),), ("rules standard",))
    of_the_opener(house, asked, _CHANGES)
    house.memory.remember(asked.where, "", settings | {RULESET: FIRST_GAME, LAYERS: [*done, left[0].id]})
    return replace(_taught(left[0], len(done) + 1, asked, house), shared=True)


def _begin() -> Reply:
    return _told("No lesson yet; `next lesson` begins.", (), ("next lesson",))


def _taught(lesson: Lesson, number: int, asked: Asked, house: House) -> Reply:
    ruleset = house.ruleset(asked.where)
    of = len(house.glossary.lessons)
    text = lesson.text.format_map(values_of(ruleset))
    back = ", ".join(lesson.brings) or "the command phase"
    blocks = (
        Line(text),
        Line(f"Try: {lesson.attack}", strong=True),
        Line(lesson.look),
        Note(f"Back from now on: {back}."),
    )
    title = f"Lesson {number} of {of}: {lesson.title}"
    data = {"said": f"{title}. {text}", "state": None, "lesson": lesson.id, "try": lesson.attack}
    return Reply("table", title, blocks, data, offers=(lesson.attack, "next lesson"))


def rules(request: Rules, asked: Asked, house: House) -> Reply:
    """The rulesets on the shelf, or the choice of one for this channel."""
    if request.name is None:
        return _shelf(asked, house)
    found = house.rulesets.called(request.name)
    if len(found) != 1:
        ids = ", ".join(house.rulesets)
        raise Misread(f'no ruleset is called "{request.name}"; there are {ids}', hint=f"rules {house.default_ruleset}")
    of_the_opener(house, asked, _CHANGES)
    settings = house.memory.recall(asked.where)
    house.memory.remember(asked.where, "", settings | {RULESET: found[0].id, LAYERS: []})
    lessons = ("next lesson",) if found[0].id == FIRST_GAME else ()
    told = _told(f"From now on this channel plays: {found[0].title}.", (Note(found[0].about),), lessons)
    return replace(told, shared=True)


def _shelf(asked: Asked, house: House) -> Reply:
    unusable = house.rulesets.unusable
    chosen = house.memory.recall(asked.where).get(RULESET)
    now = chosen if chosen in unusable else house.ruleset(asked.where).id
    lines = tuple(
        Line(f"{ruleset.id}: {ruleset.about}", strong=ruleset.id == now) for ruleset in house.rulesets.values()
    )
    notes = tuple(Note(f"{id} can't be used:\n{error.short}") for id, error in unusable.items())
    others = tuple(f"rules {id}" for id in house.rulesets if id != now)
    said = f"This channel plays {now}."
    wrong = {id: list(error.complaints) for id, error in unusable.items()}
    data = {"said": said, "state": None, "rulesets": list(house.rulesets), "unusable": wrong}
    return Reply("table", said, (*lines, *notes), data, offers=others)


def _told(said: str, notes: tuple[Note, ...], offers: tuple[str, ...]) -> Reply:
    return Reply("table", said, notes, {"said": said, "state": None}, offers)
