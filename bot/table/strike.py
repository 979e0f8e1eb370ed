"""An attack by name made into an attack: who stands, what they carry, what reaches, what is left to hit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from bot.misread import Misread, Unsure
from bot.naming import matches, nearest
from bot.requests.action import Strike
from bot.roster import Group, Weapon
from bot.standing import Game, Key, Standing
from bot.table.units import unit_words
from bot.table.words import listed
from bot.wording import plural
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.refused import Refused
from resolver.ruleset import Feature, Ruleset

T = TypeVar("T", WeaponGroup, TargetGroup)
Plain = Mapping[Feature, Mapping[str, Any]]


@dataclass(frozen=True)
class Armed:
    """So many models of one group with one weapon."""

    group: Group
    models: int
    weapon: Weapon


@dataclass(frozen=True)
class Aimed:
    """The attack, the weapons, the target's groups and their names in its order, and what is worth saying."""

    attack: Attack
    weapons: tuple[str, ...]
    groups: tuple[int, ...]
    names: tuple[str, ...]
    notes: tuple[str, ...]


def aim(game: Game, ruleset: Ruleset, strike: Strike, key: Key, target: Key) -> Aimed:
    """The attack that the message means. Raises Misread, Unsure or Refused, with the numbers."""
    melee = strike.action == "fight"
    distance = None if melee else _distance(game, strike, key, target)
    carried = list(_carried(game.units[key], strike.count, melee))
    if not carried:
        raise Refused("weapons", f"the {key[1]} have no {'melee' if melee else 'shooting'} weapon")
    armed = _chosen(carried, strike) if strike.weapons else carried
    if melee:
        _one_each(armed, strike)
    armed, notes = _reaching(armed, distance, game, key)
    armed = list(_together(armed))
    dropped: list[str] = []
    weapons = tuple(_simple(_modified(item.weapon.carried(item.models), strike), ruleset, dropped) for item in armed)
    groups = _target_groups(game.units[target], strike, ruleset, dropped)
    attack = Attack(
        weapons=weapons,
        target=Target(groups=tuple(group for _, group in groups), toughness=game.units[target].unit.toughness),
        distance=distance,
    )
    if dropped:
        notes = (
            *notes,
            f"{ruleset.title} is played without {listed(list(dict.fromkeys(dropped)))}; left out here",
        )
    weapon_names = tuple(f"{plural(item.models, 'model')}: {item.weapon.name}" for item in armed)
    indices = tuple(index for index, _ in groups)
    names = tuple(game.units[target].unit.groups[index].name for index in indices)
    return Aimed(attack, weapon_names, indices, names, notes)


def _distance(game: Game, strike: Strike, key: Key, target: Key) -> float:
    if strike.distance is not None:
        return strike.distance
    known = game.distances.get(frozenset((key, target)))
    if known is None:
        asked = f"how far are the {unit_words(game, key)} from the {unit_words(game, target)}, in inches?"
        raise Misread(asked, hint="at 14", missing="distance", pending=str(strike))
    return known


def _carried(standing: Standing, count: int | None, melee: bool) -> Iterator[Armed]:
    """Every weapon of the kind, in the hands of those who stand; fewer are taken in allocation order."""
    if count is not None and count > standing.models:
        raise Refused("models", f"{plural(standing.models, 'model')} of the {standing.name} are left, not {count}")
    if count == 0:
        raise Refused("models", "at least one model takes part")
    taking: dict[int, int] = {}
    room = standing.models if count is None else count
    for index, _, models, _ in standing.groups:
        taking[index] = min(models, room)
        room -= taking[index]
    for index, group in enumerate(standing.unit.groups):
        for weapon in group.weapons:
            if weapon.melee == melee and taking[index]:
                yield Armed(group, taking[index], weapon)


def _chosen(carried: Sequence[Armed], strike: Strike) -> list[Armed]:
    """Only the weapons that were named."""
    chosen: list[Armed] = []
    for words in strike.weapons:
        found = matches(words, [(item.weapon.name, item) for item in carried])
        names = list(dict.fromkeys(item.weapon.name for item in found))
        if not names:
            known = list(dict.fromkeys(item.weapon.name for item in carried))
            raise Misread(f'they have no weapon called "{words}" for this', hint=nearest(words, known))
        if len(names) > 1:
            choices = tuple(str(replace(strike, weapons=(name,))) for name in names)
            raise Unsure(f'which weapon is "{words}"?', choices)
        chosen += [item for item in found if item not in chosen]
    return sorted(chosen, key=list(carried).index)


def _one_each(armed: Sequence[Armed], strike: Strike) -> None:
    """In melee each model strikes with one weapon; where it has several, the player says which."""
    for group in {id(item.group): item.group for item in armed}.values():
        names = [item.weapon.name for item in armed if item.group is group]
        if len(names) > 1:
            others = list(dict.fromkeys(item.weapon.name for item in armed if item.group is not group))
            choices = tuple(str(replace(strike, weapons=(*others, name))) for name in names)
            raise Unsure(f"which weapon do the {group.name} fight with?", choices)


def _reaching(
    armed: Sequence[Armed], distance: float | None, game: Game, key: Key
) -> tuple[list[Armed], tuple[str, ...]]:
    """Those whose weapon reaches, and a word about those whose weapon does not."""
    if distance is None:
        return list(armed), ()
    ranges = [(item, item.weapon.range or 0.0) for item in armed]
    short = list(dict.fromkeys(f'{item.weapon.name} {reach:g}"' for item, reach in ranges if reach < distance))
    reaching = [item for item, reach in ranges if reach >= distance]
    if not reaching:
        name = unit_words(game, key)
        raise Refused("range", f'{distance:g}" is out of range for the {name}: {listed(short)}')
    notes = (f'out of range at {distance:g}": {listed(short)}',) if short else ()
    return reaching, notes


def _together(armed: Sequence[Armed]) -> Iterator[Armed]:
    """Models of different groups with the same weapon attack as one weapon group."""
    models: dict[Weapon, int] = {}
    for item in armed:
        models[item.weapon] = models.get(item.weapon, 0) + item.models
    first = {item.weapon: item.group for item in reversed(armed)}
    for weapon, count in models.items():
        yield Armed(first[weapon], count, weapon)


def _modified(weapon: WeaponGroup, strike: Strike) -> WeaponGroup:
    return replace(weapon, to_hit=weapon.to_hit + strike.to_hit, to_wound=weapon.to_wound + strike.to_wound)


def _simple(weapon: WeaponGroup, ruleset: Ruleset, dropped: list[str]) -> WeaponGroup:
    """The weapon without what the ruleset does not know; what is left out is said."""
    plain: Plain = {
        Feature.MODIFIERS: {"to_hit": 0, "to_wound": 0},
        Feature.HALF_RANGE: {"half_double": False, "half_plus": None},
        Feature.REROLLS: {"reroll_hit": None, "reroll_wound": None},
        Feature.CRITICALS: {
            "critical_hit": None,
            "critical_wound": None,
            "extra_hits": None,
            "critical_hits_wound": False,
            "critical_wounds_pierce": False,
        },
    }
    return _without(weapon, plain, ruleset, dropped)


def _plain_group(group: TargetGroup, ruleset: Ruleset, dropped: list[str]) -> TargetGroup:
    plain: Plain = {
        Feature.COVER: {"cover": False},
        Feature.REROLLS: {"reroll_save": None},
        Feature.FIXED_SAVES: {"fixed_save": None},
        Feature.IGNORE: {"ignore": None},
    }
    return _without(group, plain, ruleset, dropped)


def _without(thing: T, plain: Plain, ruleset: Ruleset, dropped: list[str]) -> T:
    for feature, values in plain.items():
        changed = replace(thing, **values)
        if not ruleset.has(feature) and changed != thing:
            dropped.append(feature.value)
            thing = changed
    return thing


def _target_groups(
    standing: Standing, strike: Strike, ruleset: Ruleset, dropped: list[str]
) -> list[tuple[int, TargetGroup]]:
    return [
        (index, _plain_group(group.defending(models, lost, strike.cover), ruleset, dropped))
        for index, group, models, lost in standing.groups
        if models
    ]


def hurt(aimed: Aimed, left: Sequence[tuple[int | None, int]]) -> dict[str, int]:
    """The wounds that each group of the target lost, by the index of the group as text."""
    lost: dict[str, int] = {}
    for index, before, (models, wounds) in zip(aimed.groups, aimed.attack.target.groups, left, strict=True):
        had = (before.models or 0) * before.wounds - before.lost
        points = had - ((models or 0) * before.wounds - wounds)
        if points:
            lost[str(index)] = points
    return lost
