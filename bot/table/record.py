"""Recording what happens at the table: one event in one transaction, and the state after it in the answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from bot.asked import Asked, Question
from bot.game import Event, Happened
from bot.house import House
from bot.ledger import Draft
from bot.left_open import proposal_question
from bot.reply import Block, Line, Note, Reply
from bot.standing import Game
from bot.table.again import second_try, second_words
from bot.table.current import after, any_game, folded, open_game
from bot.table.seats import Consented, may_act
from bot.table.words import listed
from resolver.ruleset import Ruleset


@dataclass(frozen=True, kw_only=True)
class Made:
    """What a verb made: the event, the sentence that says it, and what goes beside."""

    event: Event
    said: str
    lines: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    offers: tuple[str, ...] = ()
    blocks: tuple[Block, ...] = ()
    data: dict[str, Any] = field(default_factory=dict)
    mends: int | None = None
    asks: Question | None = None


Build = Callable[[Game, Draft], Made]


def state_data(house: House, where: str, game: Game, ruleset: Ruleset | None = None) -> dict[str, Any]:
    """The state as machines read it, under the ruleset that the channel plays by now."""
    return game.state() | {"ruleset": (ruleset or house.ruleset(where)).id}


def state_or_none(house: House, asked: Asked) -> dict[str, Any]:
    """The state, also where no table is open."""
    game = any_game(house, asked.where)
    return {"open": False} if game is None else state_data(house, asked.where, game)


def told(
    house: House,
    asked: Asked,
    game: Game,
    said: str,
    lines: Iterable[str] = (),
    *,
    blocks: Iterable[Block] = (),
    offers: tuple[str, ...] = (),
    private: bool = False,
    **data: Any,
) -> Reply:
    """An answer about the table that changes nothing, not even what is asked of somebody."""
    lines = tuple(lines)
    whole = {"said": "\n".join((said, *lines)), "state": state_data(house, asked.where, game), **data}
    return Reply("table", said, (*map(Line, lines), *blocks), whole, offers, private, leaves_open=True)


def happen(request: object, asked: Asked, house: House, build: Build, *, even_closed: bool = False) -> Reply:
    """Record what `build` makes of the open table, and answer with the state after it."""

    def make(draft: Draft) -> Reply:
        game = any_game(house, asked.where) if even_closed else None
        made = build(game or open_game(house, asked.where), draft)
        return settle(draft, asked, house, request, made)

    return house.ledger.record(asked, "table", make)


def settle(
    draft: Draft, asked: Asked, house: House, request: object, made: Made, ruleset: Ruleset | None = None
) -> Reply:
    """Fill in the draft and answer."""
    ruleset = ruleset or house.ruleset(asked.where)
    event, agreed = consented(house, asked, request, made.event)
    game = game_after(house, asked, Happened(draft.id, asked.who, event, made.mends))
    said = made.said + agreed
    draft.read, draft.ruleset = str(request), ruleset.id
    again = None if made.mends is not None else second_try(house, asked.where, event)
    draft.data = {**made.data, "event": event, "said": said}
    draft.data |= {} if made.mends is None else {"mends": made.mends}
    draft.data |= {} if again is None else {"second_try": again}
    data = {
        "id": draft.id,
        "said": "\n".join((said, *made.lines)),
        "state": state_data(house, asked.where, game, ruleset),
        "read": str(request),
        **made.data,
    }
    notes = (*made.notes, *(() if again is None else (second_words(again),)))
    blocks = (*map(Line, made.lines), *made.blocks, *map(Note, notes))
    return Reply("table", f"#{draft.id} {said}", blocks, data, made.offers, asks=made.asks)


def consented(house: House, asked: Asked, request: object, event: Event) -> tuple[Event, str]:
    """The event with the consent it rests on, and how to say so; whoever asked for the very same waits no longer."""
    if isinstance(asked, Consented):
        return {**event, "agreed": {"by": asked.by, "asked": asked.proposal}}, f" (agreed by {asked.by})"
    game = any_game(house, asked.where)
    waiting = () if game is None or event["type"] in ("open", "propose") else game.proposals
    settles = [proposal.entry for proposal in waiting if proposal.text == str(request)]
    return ({**event, "settles": settles} if settles else event), ""


def game_after(house: House, asked: Asked, item: Happened) -> Game:
    """The table once the item has happened as well."""
    game = after(folded(house, asked.where), item)
    assert game is not None
    return game


def unless_mine(
    request: object,
    asked: Asked,
    house: House,
    game: Game,
    sides: Iterable[str],
    check: Callable[[], object] = lambda: None,
) -> Reply | None:
    """None if the asker may act for one of the sides; otherwise the question put to them, recorded.

    `check` complains of what could not be done, whoever agreed to it: that is asked of nobody.
    """
    sides = tuple(dict.fromkeys(sides))
    if may_act(game, asked, sides):
        return None
    check()
    return ask_leave(request, asked, house, sides)


def ask_leave(
    request: object, asked: Asked, house: House, sides: Sequence[str], people: Sequence[str] = ()
) -> Reply:
    """The question put to these sides and people, recorded: it happens when one of them agrees.

    A button that was pressed for it is left to those who may.
    """

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "propose", "text": str(request), "sides": list(sides), "about": _about(request)}
        if people:
            event["people"] = list(people)
        older = [p.entry for p in game.proposals if (p.who, p.about) == (asked.who, event["about"])]
        instead = "".join(f" in place of #{entry}" for entry in older)
        seated = [f"{name} ({listed(game.side(name).seats)})" for name in sides]
        who = listed([*(name for name in people if not _sits(game, sides, name)), *seated], "or")
        return Made(
            event=event,
            said=f"asked of {who}{instead}: {request}",
            lines=("That is not yours to decide. It happens when they say `agreed`.",),
            offers=("agreed", "not agreed"),
            data={"asks": str(request), "of": list(sides)} | ({"people": list(people)} if people else {}),
            asks=proposal_question(draft.id),
        )

    return happen(request, replace(asked, event=asked.press or asked.event), house, build)


def _sits(game: Game, sides: Sequence[str], who: str) -> bool:
    return any(who in game.side(name).seats for name in sides)


def _about(request: object) -> str:
    """What is asked for, but for how an entry is to be mended."""
    entry = getattr(request, "entry", None)
    return str(request) if entry is None else f"{type(request).__name__} #{entry}"
