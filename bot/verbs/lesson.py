"""next lesson: one layer of the game explained; rules: the rulesets, and which one this channel plays.

A channel that plays the first game has the layer back from then on. One that plays the whole game keeps its rules:
there a lesson only explains.
"""

from __future__ import annotations

from dataclasses import replace

from bot.asked import Asked
from bot.house import House
from bot.layers import FIRST_GAME, WHOLE_GAME, Lesson
from bot.misread import Misread
from bot.questions.values import values_of
from bot.reply import Line, Note, Reply
from bot.requests.questions import NextLesson, Rules
from bot.rights import of_the_opener

# What is remembered of a channel: its ruleset, the layers that came back to its first game, the lessons that only told.
RULESET, LAYERS, HEARD = "ruleset", "layers", "lessons"
_CHANGES = "changes the rules while it is open"


def answer(request: NextLesson, asked: Asked, house: House) -> Reply:
    """Explain the next layer and give one attack to try; or tell one again that was told."""
    played = house.ruleset(asked.where)
    if played.id not in (FIRST_GAME, WHOLE_GAME):
        said = f"The lessons lead from the first game to the standard one; this channel plays {played.title}."
        return _told(said, (Note("`rules first-game` begins there."),), ("rules first-game",))
    settings = house.memory.recall(asked.where)
    key = LAYERS if played.id == FIRST_GAME else HEARD
    done = [id for id in house.glossary.lessons if id in settings.get(key, [])]
    left = [id for id in house.glossary.lessons if id not in done]
    if request.again or (request.first and done):
        return _taught(done[0 if request.first else -1], asked, house, bool(left)) if done else _begin()
    if not left:
        return _over(played.id)
    if key == LAYERS:
        of_the_opener(house, asked, _CHANGES)
    house.memory.remember(asked.where, "", settings | {key: [*done, left[0]]})
    return replace(_taught(left[0], asked, house, len(left) > 1), shared=True)


def _begin() -> Reply:
    return _told("No lesson yet; `next lesson` begins.", (), ("next lesson",))


def _over(ruleset: str) -> Reply:
    if ruleset == FIRST_GAME:
        said = "That was the last lesson: every layer is back, and you play the whole game."
        return _told(said, (Note("`rules standard` says so for good."),), ("rules standard", "first lesson"))
    return _told("That was the last lesson: you have heard of every layer.", (), ("first lesson",))


def _taught(id: str, asked: Asked, house: House, more: bool) -> Reply:
    """The lesson; `more` if others follow."""
    ruleset, lesson = house.ruleset(asked.where), house.glossary.lessons[id]
    number = list(house.glossary.lessons).index(id) + 1
    text = lesson.text.format_map(values_of(ruleset))
    blocks = (
        Line(text),
        Line(f"Try: {lesson.attack}", strong=True),
        Line(lesson.look),
        Note(_what_changes(lesson) if ruleset.id == FIRST_GAME else _nothing_changes(ruleset.title)),
    )
    title = f"Lesson {number} of {len(house.glossary.lessons)}: {lesson.title}"
    data = {"said": f"{title}. {text}", "state": None, "lesson": lesson.id, "try": lesson.attack}
    return Reply("table", title, blocks, data, offers=(lesson.attack, *(("next lesson",) if more else ())))


def _what_changes(lesson: Lesson) -> str:
    return f"Back in this channel's first game from now on: {', '.join(lesson.brings) or 'the command phase'}."


def _nothing_changes(title: str) -> str:
    return f"This channel goes on playing {title}; `rules first-game` begins without what the lessons bring."


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
