"""step by step: one attack a handful at a time, with the umpire's dice or the player's own; left at any point.

The lesson lives in the record: the entry that begins it, then one entry for each handful. At its end the whole
attack is recorded, with no dice of its own but those that the umpire rolls to finish.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft, Entry
from bot.left_open import step_question
from bot.misread import Misread, Unsure
from bot.reply import Line, Note, Reply
from bot.requests.action import Lesson, LessonDice, LessonFix, StepByStep, Strike
from bot.requests.attack import Odds, Roll
from bot.requests.table import WhatNow
from bot.standing import Game
from bot.steps import Walked, outcome, pick_up, walk, wrong_faces
from bot.table.current import any_game, game_before, open_game
from bot.table.dice import own_dice_count
from bot.table.record import state_or_none, unless_mine
from bot.table.under_way import begun, ended, ended_words, forget, handfuls
from bot.table.units import unit_names
from bot.verbs.attack_answer import attack_blocks, attack_data
from bot.verbs.table.blow import Blow, strike_blow
from bot.verbs.table.strike import ready, who_whom
from bot.verbs.table.where import what_now
from bot.wording import plural
from resolver.live import Throw, roll
from resolver.plan import Plan, plan

STEPS = "step by step "
EXAMPLE = "step by step Wardens shoot the Kiln Guard at 14"
OFFERS = ("roll", "finish", "stop")
_OWN, _UMPIRES = "type what you rolled, or `roll`; `finish` rolls the rest", "`roll` throws them, `finish` all the rest"


@dataclass(frozen=True)
class Walk:
    """A lesson under way. `number` is the entry that began it; `blow` is None for a typed attack."""

    number: int
    request: Strike | Roll
    planned: Plan
    game: Game | None
    blow: Blow | None
    steps: tuple[Entry, ...] = ()

    @property
    def walked(self) -> Walked:
        return walk(self.planned, [entry.faces for entry in self.steps])

    def weapon(self, number: int) -> str:
        if self.blow:
            return f" ({self.blow.aimed.weapons[number]})"
        return f" (weapon group {number + 1})" if len(self.planned.weapons) > 1 else ""


def start(request: StepByStep, asked: Asked, house: House) -> Reply:
    """Begin: what the attack is, and the first handful. What is asked back is answered to the same verb."""
    try:
        return _started(request, asked, house)
    except Misread as misread:
        raise misread.of_part(request.attack, asked.text, STEPS) from None
    except Unsure as unsure:
        raise Unsure(unsure.message, tuple(f"{STEPS}{choice}" for choice in unsure.choices)) from None


def _started(request: StepByStep, asked: Asked, house: House) -> Reply:
    meant = _meant(request.attack, asked, house)
    if isinstance(meant, Strike):
        game = open_game(house, asked.where)
        meant, key, _ = who_whom(game, meant)
        question = unless_mine(StepByStep(str(meant)), asked, house, game, [key[0]])
        if question is not None:
            return question

    def make(draft: Draft) -> Reply:
        first = _walk(meant, asked, house, draft.id, any_game(house, asked.where))
        said = f"step by step: {meant}"
        draft.read, draft.ruleset = f"step by step {meant}", first.planned.ruleset.id
        draft.data = {"lesson": draft.id, "meant": str(meant), "said": said}
        memory = house.memory.recall(asked.where, asked.who)
        house.memory.remember(asked.where, asked.who, memory | {"lesson": draft.id})
        return _asking(house, asked, first, first.walked, f"#{draft.id} {said}", (), 0)

    return house.ledger.record(asked, "lesson", make)


def _meant(text: str, asked: Asked, house: House) -> Strike | Roll:
    from bot.reading import read  # the reader knows this verb's request too
    from bot.reading.context import Context

    context = Context(house.ruleset(asked.where), units=unit_names(house, asked.where))
    found = read(text, context)
    if isinstance(found, Strike):
        return replace(found, odds=False, faces=None)
    if isinstance(found, Odds | Roll):
        return Roll(found.attack)
    raise Misread("step by step takes an attack", hint=EXAMPLE)


def _walk(
    meant: Strike | Roll,
    asked: Asked,
    house: House,
    number: int,
    game: Game | None,
    steps: Sequence[Entry] = (),
) -> Walk:
    """The lesson on the table as it was when it began."""
    ruleset = house.ruleset(asked.where)
    if isinstance(meant, Roll):
        return Walk(number, meant, plan(meant.attack, ruleset), None, None, tuple(steps))
    if game is None or not game.open:
        raise Misread("no table is open here", hint="open table Saltmarsh Wardens against Kiln Guard")
    strike, key, target = who_whom(game, meant)
    blow = ready(strike, asked, house, game, key, target)
    return Walk(number, strike, plan(blow.aimed.attack, ruleset), game, blow, tuple(steps))


def _under_way(asked: Asked, house: House) -> Walk:
    """The lesson that this person is in, taken up from the record."""
    began = begun(house, asked)
    if began is None:
        raise Misread("no step-by-step attack is under way", hint=EXAMPLE)
    if ended(house, began):
        forget(house, asked)
        raise Misread(ended_words(began), hint=EXAMPLE)
    meant = _meant(began.data["meant"], asked, house)
    game = game_before(house, asked.where, began.id) if isinstance(meant, Strike) else None
    return _walk(meant, asked, house, began.id, game, handfuls(house, began))


def word(request: Lesson, asked: Asked, house: House) -> Reply:
    """roll, finish, stop, or show the step again; where it is over, what else can be done now."""
    began = begun(house, asked)
    if request.word == "show" and began is not None and ended(house, began):
        forget(house, asked)
        now = what_now(WhatNow(), asked, house)
        return replace(now, blocks=(Line(ended_words(began)), *now.blocks))
    under_way = _under_way(asked, house)
    _asked_last(under_way, asked)
    if request.word == "stop":
        forget(house, asked)
        said = "the lesson is left; nothing is taken off the table"
        data = {"said": said, "lesson": {"done": True}, "state": state_or_none(house, asked)}
        return Reply("table", said, data=data, offers=(_bare(under_way),))
    if request.word == "finish" or under_way.walked.next is None:
        return _finished(under_way, asked, house)
    if request.word == "show":
        return _asking(house, asked, under_way, under_way.walked, "this step", (), len(under_way.steps))
    return _thrown(under_way, asked, house, None)


def _asked_last(under_way: Walk, asked: Asked) -> None:
    """A button belongs to the handful that it was shown under, and to no later one."""
    if asked.question not in (None, step_question(under_way.number, len(under_way.steps))):
        raise Misread("that handful has been thrown already", hint="what now")


def _bare(under_way: Walk) -> str:
    return str(under_way.request)


def dice(request: LessonDice, asked: Asked, house: House) -> Reply:
    """The player's own faces for the handful asked for."""
    under_way = _under_way(asked, house)
    _asked_last(under_way, asked)
    throw = under_way.walked.next
    if throw is None:
        return _finished(under_way, asked, house)
    if not _own_dice(under_way, asked, house):
        raise Misread("own dice do not count at this table until both sides have agreed", hint="own dice yes, or roll")
    wrong = wrong_faces(throw, request.faces)
    if wrong is not None:
        raise Misread(wrong, hint="type the faces again, or `roll` lets me throw them")
    return _thrown(under_way, asked, house, request.faces)


def fix(request: LessonFix, asked: Asked, house: House) -> Reply:
    """One die of the handful just typed put right; the handful is recorded anew in its place."""
    under_way = _under_way(asked, house)
    if not under_way.steps or not under_way.steps[-1].declared:
        raise Misread("only dice that you typed yourself, in the step just done, can be put right", hint="die 3 was 5")
    last = under_way.steps[-1]
    place = request.die or len(last.faces)
    if not 1 <= place <= len(last.faces):
        raise Misread(f"that step has {plural(len(last.faces), 'die').replace('dies', 'dice')}, no die {place}")
    faces = [*last.faces[: place - 1], request.face, *last.faces[place:]]
    before = replace(under_way, steps=under_way.steps[:-1])
    throw = before.walked.next
    assert throw is not None
    wrong = wrong_faces(throw, faces)
    if wrong is not None:
        raise Misread(wrong, hint="die 3 was 5")
    return _thrown(before, asked, house, faces, replaces=last.id)


def _thrown(
    under_way: Walk, asked: Asked, house: House, faces: Sequence[int] | None, replaces: int | None = None
) -> Reply:
    """Record one handful, then ask for the next, or record the attack if that was the last."""
    throw = under_way.walked.next
    assert throw is not None

    def make(draft: Draft) -> Reply:
        if faces is not None:
            draft.declare(faces)
        fallen = tuple(draft.dice(throw))
        draft.read, draft.ruleset = f"{throw.step}: {throw.count}d{throw.sides}", under_way.planned.ruleset.id
        said = outcome(throw, fallen)
        draft.data = {"lesson": under_way.number, "said": said}
        if replaces is not None:
            draft.data["replaces"] = replaces
        walked = walk(under_way.planned, [*(entry.faces for entry in under_way.steps), fallen])
        return _asking(house, asked, under_way, walked, f"#{draft.id} {said}", fallen, len(under_way.steps) + 1)

    last = house.ledger.record(asked, "step", make)
    again = _under_way(asked, house)
    if again.walked.next is not None:
        return last
    finished = _finished(again, replace(asked, event=None), house)
    return replace(finished, blocks=(Line(last.title), *finished.blocks))


def _asking(
    house: House, asked: Asked, under_way: Walk, walked: Walked, title: str, faces: Sequence[int], done: int
) -> Reply:
    """What to pick up now; so many handfuls are done."""
    state = state_or_none(house, asked)
    throw = walked.next
    if throw is None:
        data = {"said": title, "lesson": {"done": True}, "state": state}
        return Reply("table", title, (Line("That was the last handful.", strong=True),), data)
    lines = pick_up(throw, under_way.weapon(throw.weapon))
    own = _own_dice(under_way, asked, house)
    lesson = {"done": False, "faces": list(faces), "next": _next_data(throw), "own_dice": own}
    data = {"said": "\n".join((title, *lines)), "lesson": lesson, "state": state}
    note = Note(f"{_OWN if own else _UMPIRES}, `stop` leaves")
    blocks: tuple[Line | Note, ...] = (Line(lines[0], strong=True), *map(Line, lines[1:]), note)
    return Reply("table", title, blocks, data, OFFERS, asks=step_question(under_way.number, done))


def _own_dice(under_way: Walk, asked: Asked, house: House) -> bool:
    """Whether the player's own dice count: always away from a table."""
    game = any_game(house, asked.where)
    return under_way.blow is None or game is None or own_dice_count(game)


def _next_data(throw: Throw) -> dict[str, object]:
    needs = throw.check.text if throw.check is not None and throw.check.needed else None
    return {
        "step": throw.step,
        "dice": throw.count,
        "sides": throw.sides,
        "needs": needs,
        "again": throw.again,
    }


class _Rest:
    """The handfuls thrown so far, then the umpire's dice."""

    def __init__(self, under_way: Walk, draft: Draft) -> None:
        self._left = [entry.faces for entry in under_way.steps]
        self._draft = draft

    def __call__(self, throw: Throw) -> Sequence[int]:
        return self._left.pop(0) if self._left else self._draft.dice(throw)


def _finished(under_way: Walk, asked: Asked, house: House) -> Reply:
    """Record the whole attack; casualties are applied now."""
    steps = [entry.id for entry in under_way.steps]
    declared = [entry.id for entry in under_way.steps if entry.declared]
    kept = {"lesson": under_way.number, "steps": steps, "declared_steps": declared}
    notes = (f"own dice in {', '.join(f'#{number}' for number in declared)}",) if declared else ()

    def make(draft: Draft) -> Reply:
        source = _Rest(under_way, draft)
        if under_way.blow is not None and under_way.game is not None:
            blow = replace(under_way.blow, kept=kept, notes=(*under_way.blow.notes, *notes))
            return strike_blow(blow, draft, source, asked, house, under_way.game)
        read, planned = str(under_way.request), under_way.planned
        rolled = roll(planned, source)
        data = attack_data(planned, rolled, draft.id, read)
        draft.read, draft.ruleset, draft.data = read, planned.ruleset.id, {"attack": read, **data, **kept}
        return Reply("attack", f"#{draft.id} {read}", attack_blocks(planned, rolled, data, notes), data)

    reply = house.ledger.record(asked, "attack", make)
    forget(house, asked)
    return reply
