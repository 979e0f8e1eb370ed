"""next phase, end turn, back, first turn: the course of the game."""

from __future__ import annotations

from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.naming import matches
from bot.reply import Reply
from bot.requests.table import BackPhase, EndTurn, FirstTurn, NextPhase
from bot.standing import Game
from bot.table.current import open_game
from bot.table.record import Made, happen, unless_mine
from bot.table.seats import check_seated
from bot.table.todo import NOTHING_TO_DECLARE, todo_lines, unfinished
from bot.table.under_way import begun, by_name, ended, ended_words
from bot.table.units import named_side
from bot.table.words import listed, place_words, score_words
from resolver.live import Throw

MOST_TIES = 100
_PHASE_WORDS = {
    "moving": "movement",
    "charging": "charge",
    "fighting": "fight",
    "melee": "fight",
    "shoot": "shooting",
}


def first_turn(request: FirstTurn, asked: Asked, house: House) -> Reply:
    """Who begins: said, or rolled off. Once the game has begun a roll-off settles something else."""
    game = open_game(house, asked.where)
    check_seated(house, asked)
    if len(game.sides) < 2:
        raise Misread("a roll-off needs two sides", hint="load Kiln Guard")
    if request.side is not None:
        return _said_first(request, asked, house, game)

    def build(game: Game, draft: Draft) -> Made:
        winner, shown = _roll_off(game, draft, house.ruleset(asked.where).die)
        if game.step:
            said = f"roll-off: {shown}; {winner} win it"
            stays = ("the game has begun, so the order of turns stays",)
            return Made(event={"type": "note", "winner": winner}, said=said, notes=stays)
        said = f"roll-off for the first turn: {shown}; {winner} go first"
        notes = ("the first turn was settled before; both stay in the record",) if game.rolled_off else ()
        event: dict[str, Any] = {"type": "first", "side": winner, "rolled_off": True}
        return Made(event=event, said=said, notes=notes, offers=("next phase", "what now"))

    return happen(request, asked, house, build)


def _said_first(request: FirstTurn, asked: Asked, house: House, game: Game) -> Reply:
    side = named_side(game, request)
    if game.step:
        raise Misread("the game has begun; the order of turns stays", hint="back")
    question = unless_mine(request, asked, house, game, [name for name in game.order if name != side.name])
    if question is not None and len(game.order) > 1:
        return question

    def build(game: Game, draft: Draft) -> Made:
        return Made(event={"type": "first", "side": side.name}, said=f"{side.name} go first", offers=("what now",))

    return happen(request, asked, house, build)


def _roll_off(game: Game, draft: Draft, die: int) -> tuple[str, str]:
    """The winner, and every throw in words; ties are thrown again by those who tied."""
    tied = game.order
    throws: list[str] = []
    for _ in range(MOST_TIES):
        faces = draft.dice(Throw(step="roll off", sides=die, count=len(tied)))
        throws.append(", ".join(f"{name} {face}" for name, face in zip(tied, faces, strict=True)))
        tied = tuple(name for name, face in zip(tied, faces, strict=True) if face == max(faces))
        if len(tied) == 1:
            break
    return tied[0], "; again: ".join(throws)


def next_phase(request: NextPhase | EndTurn, asked: Asked, house: House) -> Reply:
    """The phase (or the whole turn) ends; said by the side whose turn it is."""
    game = open_game(house, asked.where)
    if not game.sides:
        raise Misread("no side is at the table yet", hint="load Saltmarsh Wardens")
    if game.over:
        raise Misread(place_words(game), hint="report")
    if isinstance(request, NextPhase) and request.ends is not None:
        _still_played(request, game)
    whole = isinstance(request, EndTurn) and request.whole_round
    question = unless_mine(request, asked, house, game, [game.order[-1] if whole else game.place.turn])
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        return _stepped(house, asked, game, _steps(request, game))

    return happen(request, asked, house, build)


def _still_played(request: NextPhase, game: Game) -> None:
    """A phase that was named may end only while it is played; it may be over already."""
    here = game.place
    phase = matches(_PHASE_WORDS.get(str(request.ends), str(request.ends)), [(here.phase, here.phase)])
    side = request.side is None or matches(request.side, [(here.turn, here.turn)])
    if not (phase and side and request.round in (None, here.round)):
        raise Misread(f"it is not that phase now: it is {place_words(game)}", hint="next phase")


def _steps(request: NextPhase | EndTurn, game: Game) -> int:
    """How many phases end."""
    if isinstance(request, EndTurn):
        return _left_of_turn(game) + (len(game.phases) * _turns_after(game) if request.whole_round else 0)
    if request.to is None:
        return 1
    ahead = [(place.phase, by) for by, place in enumerate(game.places[game.step + 1 :][: len(game.phases)], 1)]
    found = matches(_PHASE_WORDS.get(request.to, request.to), ahead)
    if len(found) != 1:
        known = ", ".join(dict.fromkeys(phase for phase, _ in ahead))
        raise Misread(f"no phase is called {request.to}; ahead are {known}", hint="next phase")
    return found[0]


def _turns_after(game: Game) -> int:
    """How many turns of this round follow the one that is played."""
    return len(game.order) - 1 - game.order.index(game.place.turn)


def _left_of_turn(game: Game) -> int:
    return len(game.phases) - game.phases.index(game.place.phase)


def _stepped(house: House, asked: Asked, game: Game, by: int) -> Made:
    after = game.stepped(by)
    notes = unfinished(house, asked.where, game) if by > 0 else ()
    lines: tuple[str, ...]
    offers: tuple[str, ...]
    if after.over:
        lines = (score_words(game),)
        offers = ("report", "close table")
    else:
        lines = tuple(todo_lines(house, asked.where, after, only_now=True))
        offers = ("what now", "next phase")
    notes = (*notes, *_step_by_step(house, asked))
    if len(after.order) > 1 and by > 0 and after.place.turn != game.place.turn:
        notes = (*notes, f"over to {listed(after.side(after.place.turn).seats) or after.place.turn}")
    elif not lines:
        lines = (NOTHING_TO_DECLARE,)
    said = place_words(after) if by > 0 else f"back to {place_words(after)}"
    return Made(event={"type": "step", "by": by}, said=said, lines=lines, notes=notes, offers=offers)


def _step_by_step(house: House, asked: Asked) -> tuple[str, ...]:
    """That the asker's step-by-step attack is over with the phase, if they are in one of units of the table."""
    attack = begun(house, asked)
    return () if attack is None or not by_name(attack) or ended(house, attack) else (ended_words(attack),)


def back(request: BackPhase, asked: Asked, house: House) -> Reply:
    """The phase is stepped back; what was done stays done, and `undo` takes back more."""
    game = open_game(house, asked.where)
    if not game.step:
        raise Misread("this is where the game begins", hint="undo")
    question = unless_mine(request, asked, house, game, [game.stepped(-1).place.turn])
    if question is not None:
        return question
    return happen(request, asked, house, lambda game, draft: _stepped(house, asked, game, -1))
