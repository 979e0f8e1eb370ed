"""Mending by hand: models, wounds, what was done, who is engaged; with who said so, and why."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread, Unsure
from bot.naming import matches
from bot.reply import Reply
from bot.requests.action import LoseWounds, SetDeed, SetEngaged, SetModels
from bot.standing import Game, Key, Standing
from bot.table.current import open_game
from bot.table.permit import AFTER, STAYED
from bot.table.record import Made, happen, unless_mine
from bot.table.units import named, others, unit_words
from bot.wording import plural
from resolver.refused import Refused, within

ByHand = SetModels | LoseWounds | SetDeed | SetEngaged
MOST = 1000


def answer(request: ByHand, asked: Asked, house: House) -> Reply:
    """Record the correction. What belongs to another side is asked of it."""
    game = open_game(house, asked.where)
    key = named(game, request)
    make: Callable[[Game, Key, Any], Made] = _MAKERS[type(request)]
    question = unless_mine(request, asked, house, game, [key[0]], lambda: make(game, key, request))
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        made = make(game, key, request)
        because = {"because": request.because} if request.because else {}
        said = made.said + (f", because {request.because}" if request.because else "")
        return Made(event={**made.event, "by_hand": True, **because}, said=f"by hand: {said}")

    return happen(request, asked, house, build)


def _models(game: Game, key: Key, request: SetModels) -> Made:
    """So many left, or so many fewer; taken off in the order in which the owner loses them."""
    standing = game.units[key]
    within("number of models", request.models, 0, MOST)
    groups = [_group(standing, request.group)] if request.group else list(standing.order)
    have = sum(standing.left[index][0] for index in groups)
    wanted = have - request.models if request.lost else request.models
    full = sum(standing.unit.groups[index].models for index in groups)
    if not 0 <= wanted <= full:
        raise Refused("models", f"the {key[1]} had {plural(full, 'model')} there and have {have}, so not {wanted}")
    left = _spread(standing, groups, wanted)
    return Made(
        event={"type": "left", "unit": list(key), "left": left},
        said=f"{unit_words(game, key)} have {plural(sum(m for m, _ in _after(standing, left)), 'model')} left",
    )


def _spread(standing: Standing, groups: list[int], wanted: int) -> dict[str, tuple[int, int]]:
    """The last groups to be lost keep their models first; a group that changes keeps no hurt model."""
    left: dict[str, tuple[int, int]] = {}
    lowering = wanted <= sum(standing.left[index][0] for index in groups)
    for index in reversed(groups):
        models, lost = standing.left[index]
        most = models if lowering else standing.unit.groups[index].models
        keep = min(most, wanted)
        wanted -= keep
        left[str(index)] = (keep, lost if keep == models else 0)
    return left


def _after(standing: Standing, left: dict[str, tuple[int, int]]) -> list[tuple[int, int]]:
    return [left.get(str(index), here) for index, here in enumerate(standing.left)]


def _wounds(game: Game, key: Key, request: LoseWounds) -> Made:
    """Wounds lost or regained, from the first group that can."""
    standing = game.units[key]
    within("number of wounds", request.wounds, 1, MOST)
    groups = [_group(standing, request.group)] if request.group else list(standing.order)
    hurt: dict[str, int] = {}
    room = request.wounds
    for index in groups:
        models, lost = standing.left[index]
        group = standing.unit.groups[index]
        health = models * group.wounds - lost
        can = min(room, group.models * group.wounds - health if request.back else health)
        if can:
            hurt[str(index)] = -can if request.back else can
            room -= can
    if room:
        raise Refused("wounds", f"the {key[1]} can {'regain' if request.back else 'lose'} only {request.wounds - room}")
    verb = "regained" if request.back else "lost"
    said = f"{unit_words(game, key)} {verb} {plural(request.wounds, 'wound')}"
    return Made(event={"type": "hurt", "unit": list(key), "hurt": hurt}, said=said)


def _group(standing: Standing, words: str | None) -> int:
    names = [(group.name, index) for index, group, _, _ in standing.groups]
    found = matches(words or "", names)
    if len(found) != 1:
        known = ", ".join(name for name, _ in names)
        raise Misread(f'which group of the {standing.name} is "{words}"? They have {known}')
    return found[0]


def _deed(game: Game, key: Key, request: SetDeed) -> Made:
    """What a unit did this turn after all, or did not do."""
    what = request.what
    if what not in AFTER and what != STAYED:
        raise Misread(f'"{what}" is nothing that I keep', hint=", ".join(AFTER))
    event = {"type": "deeds", "unit": list(key), "what": what, "done": request.done}
    never = "" if request.done else "have not "
    return Made(event=event, said=f"{unit_words(game, key)} {never}{what} this turn")


def _engaged(game: Game, key: Key, request: SetEngaged) -> Made:
    units = [list(key)]
    words = "are engaged" if request.engaged else "are not engaged"
    if request.other is not None:
        other = named(game, request, "other", others(game, key[0]))
        units.append(list(other))
        words += f" with the {unit_words(game, other)}"
    elif request.engaged:
        foes = [other for other in game.units if other[0] != key[0] and game.units[other].models]
        if len(foes) != 1:
            choices = tuple(f"{request.unit} are engaged with {unit_words(game, foe)}" for foe in foes)
            raise Unsure("engaged with whom?", choices)
        units.append(list(foes[0]))
        words += f" with the {unit_words(game, foes[0])}"
    event = {"type": "engage", "units": units, "engaged": request.engaged}
    return Made(event=event, said=f"{unit_words(game, key)} {words}")


_MAKERS: dict[type, Callable[[Game, Key, Any], Made]] = {
    SetModels: _models,
    LoseWounds: _wounds,
    SetDeed: _deed,
    SetEngaged: _engaged,
}
