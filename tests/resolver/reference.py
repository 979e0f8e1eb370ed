"""An attack reckoned a second way: fractions only, die by die and wound by wound, straight from the rules.

It reads what people say (Attack, Ruleset) and nothing else of the resolver, so that a mistake would have
to be made twice, in two different ways, to go unseen. It is slow and meant for small attacks.
"""

from collections import defaultdict
from fractions import Fraction
from itertools import product
from math import ceil, comb

from resolver.attack import Attack, Reroll, TargetGroup, WeaponGroup
from resolver.ruleset import RatioChart, Ruleset, Step, TableChart

ONE = Fraction(1)


def reference(attack: Attack, rules: Ruleset) -> dict[str, dict[int, Fraction]]:
    """The distributions of the six counts, and of whether the unit is wiped out (key 1)."""
    chains: dict[tuple, Fraction] = {(0, _fresh(attack)): ONE}
    sums = {name: {0: ONE} for name in ("attacks", "hits", "wounds")}
    for weapon in attack.weapons:
        wounds = _wounds(weapon, attack, rules)
        for place, name in enumerate(("attacks", "hits", "wounds")):
            sums[name] = _plus(sums[name], _marginal(wounds, lambda key, place=place: key[place]))
        coming = _marginal(wounds, lambda key: key[3:])
        several = len(attack.target.groups) > 1
        chains = (_in_turn if several else _together)(chains, coming, _Facing(weapon, attack, rules))
    begun = _fresh(attack)
    found = dict(sums)
    found["unsaved"] = _marginal(chains, lambda key: key[0])
    found["damage"] = _marginal(chains, lambda key: _left(begun) - _left(key[1]))
    found["slain"] = _marginal(chains, lambda key: _standing(begun) - _standing(key[1]))
    found["wipe"] = _marginal(chains, lambda key: int(_standing(key[1]) == 0))
    return found


# A unit is a tuple of (group number, wounds left), one pair for each model, in the order of being attacked.


def _fresh(attack: Attack) -> tuple:
    unit = []
    for number, group in enumerate(attack.target.groups):
        models = 130 if group.models is None else group.models
        unit += [(number, group.wounds - group.lost)] + [(number, group.wounds)] * (models - 1)
    return tuple(unit)


def _left(unit: tuple) -> int:
    return sum(wounds for _, wounds in unit)


def _standing(unit: tuple) -> int:
    return len(unit)


def _struck(unit: tuple, points: int, spills: bool) -> tuple:
    while points and unit:
        number, wounds = unit[0]
        if points < wounds:
            return ((number, wounds - points), *unit[1:])
        unit, points = unit[1:], points - wounds if spills else 0
    return unit


def _marginal(chances: dict, key) -> dict:
    found: dict = defaultdict(Fraction)
    for outcome, chance in chances.items():
        found[key(outcome)] += chance
    return dict(found)


def _plus(one: dict, other: dict) -> dict:
    found: dict = defaultdict(Fraction)
    for (a, p), (b, q) in product(one.items(), other.items()):
        found[a + b] += p * q
    return dict(found)


def _amount(amount) -> dict[int, Fraction]:
    found = {amount.plus: ONE}
    for _ in range(amount.dice):
        found = _plus(found, {face: Fraction(1, amount.sides) for face in range(1, amount.sides + 1)})
    return found


# --- how many dice hit and wound


def _attack_number(weapon: WeaponGroup, attack: Attack) -> dict[int, Fraction]:
    near = (
        (weapon.half_double or weapon.half_plus is not None)
        and attack.distance is not None
        and attack.distance <= weapon.range / 2
    )
    each = _amount(weapon.attacks)
    if near and weapon.half_double:
        each = {2 * number: chance for number, chance in each.items()}
    if near and weapon.half_plus is not None:
        each = _plus(each, _amount(weapon.half_plus))
    if weapon.per_five:
        each = _plus(each, {weapon.per_five * (attack.target.models // 5): ONE})
    found = {0: ONE}
    for _ in range(weapon.models):
        found = _plus(found, each)
    return found


def _wounds(weapon: WeaponGroup, attack: Attack, rules: Ruleset) -> dict[tuple, Fraction]:
    """Chances of (attacks, hits, wounds, ordinary wounds, piercing wounds)."""
    found: dict = defaultdict(Fraction)
    hitting = _hit_faces(weapon, rules)
    wounding = _wound_faces(weapon, attack, rules)
    for attacks, chance in _attack_number(weapon, attack).items():
        hits = {(attacks, 0): ONE} if weapon.hit is None else _pool(attacks, hitting, weapon.reroll_hit)
        for (rolling, outright), hit_chance in hits.items():
            if rules.steps[1:] == (Step.SAVE, Step.WOUND):
                for wounds, share in _saved_then_wounded(rolling, weapon, attack, rules).items():
                    found[attacks, rolling, wounds, 0, wounds] += chance * hit_chance * share
                continue
            if Step.WOUND not in rules.steps:
                found[attacks, rolling, rolling, rolling, 0] += chance * hit_chance
                continue
            for (plain, piercing), wound_chance in _pool(rolling, wounding, weapon.reroll_wound).items():
                ordinary = plain + outright
                key = (attacks, rolling + outright, ordinary + piercing, ordinary, piercing)
                found[key] += chance * hit_chance * wound_chance
    return found


def _saved_then_wounded(hits: int, weapon: WeaponGroup, attack: Attack, rules: Ruleset) -> dict[int, Fraction]:
    """A game that saves first: hits that are not saved roll to wound, and no save follows."""
    (group,) = attack.target.groups
    faces = _save_faces(weapon, group, rules)
    found: dict = defaultdict(Fraction)
    unsaved = {(hits, 0): ONE} if faces is None else _pool(hits, faces, group.reroll_save)
    for (through, _), chance in unsaved.items():
        wounds = _pool(through, _wound_faces(weapon, attack, rules), weapon.reroll_wound)
        for (plain, critical), share in wounds.items():
            found[plain + critical] += chance * share
    return found


def _hit_faces(weapon: WeaponGroup, rules: Ruleset) -> list[tuple]:
    """For each face (kind, {(hits that roll to wound, hits that wound outright): chance})."""
    if weapon.hit is None:
        return []
    outright = weapon.critical_hits_wound and Step.WOUND in rules.steps
    extra = _amount(weapon.extra_hits) if weapon.extra_hits is not None else {0: ONE}
    critical = {(more, 1) if outright else (more + 1, 0): chance for more, chance in extra.items()}
    outcomes = {"fail": {(0, 0): ONE}, "pass": {(1, 0): ONE}, "critical": critical}
    kinds = _kinds(weapon.hit, weapon.to_hit, weapon.critical_hit, Step.HIT, rules)
    return [(face, kind, outcomes[kind]) for face, kind in kinds]


def _wound_faces(weapon: WeaponGroup, attack: Attack, rules: Ruleset) -> list[tuple]:
    """For each face (kind, {(ordinary wounds, piercing wounds): chance})."""
    if Step.WOUND not in rules.steps:
        return []
    number = weapon.wound
    if number is None:
        number = _charted(weapon.strength, attack.target.toughness, rules.wound_chart)
    critical = (0, 1) if weapon.critical_wounds_pierce else (1, 0)
    outcomes = {"fail": {(0, 0): ONE}, "pass": {(1, 0): ONE}, "critical": {critical: ONE}}
    kinds = _kinds(number, weapon.to_wound, weapon.critical_wound, Step.WOUND, rules)
    return [(face, kind, outcomes[kind]) for face, kind in kinds]


def _charted(s: int, t: int, chart) -> int:
    """The number needed to wound; the ratios as the standard rules state them, not as a chart words them."""
    if isinstance(chart, RatioChart):
        at = chart.double, chart.stronger, chart.equal, chart.weaker, chart.half
        return at[0 if s >= 2 * t else 1 if s > t else 2 if s == t else 4 if 2 * s <= t else 3]
    if isinstance(chart, TableChart):
        place = sorted((0, s - t - chart.lowest, len(chart.numbers) - 1))[1]
        return chart.numbers[place]
    steps = int(Fraction(t - s, chart.points))  # towards the middle
    return sorted((chart.best, chart.equal + steps, chart.worst))[1]


def _kinds(number: int, modifier: int, threshold: int | None, step: Step, rules: Ruleset) -> list[tuple[int, str]]:
    """Each natural face of a hit or wound die with what it is: fail, pass or critical."""
    held = min(max(modifier, -rules.modifier_cap), rules.modifier_cap)
    found = []
    for face in range(1, rules.die + 1):
        passes = face + held >= number or (face == rules.die and step in rules.natural_pass)
        critical = face == rules.die and passes if threshold is None else face >= threshold
        if face <= rules.natural_fail:
            found.append((face, "fail"))
        elif critical:
            found.append((face, "critical"))
        else:
            found.append((face, "pass" if passes else "fail"))
    return found


def _pool(dice: int, faces: list[tuple], reroll: Reroll | None) -> dict[tuple, Fraction]:
    """`dice` dice thrown one after the other; at most one of them again if that is the kind of re-roll."""
    states: dict[tuple, Fraction] = {(0, 0, True): ONE}
    for _ in range(dice):
        after: dict = defaultdict(Fraction)
        for (a, b, in_hand), chance in states.items():
            for (more_a, more_b, still), share in _die(faces, reroll, in_hand).items():
                after[a + more_a, b + more_b, still] += chance * share
        states = after
    return _marginal(states, lambda key: key[:2])


def _die(faces: list[tuple], reroll: Reroll | None, in_hand: bool) -> dict[tuple, Fraction]:
    found: dict = defaultdict(Fraction)
    share = Fraction(1, len(faces))
    for face, kind, outcome in faces:
        again = {
            None: False,
            Reroll.ONES: face == 1,
            Reroll.FAILED: kind == "fail",
            Reroll.NON_CRITICAL: kind != "critical",
            Reroll.ONE_FAILED: kind == "fail" and in_hand,
        }[reroll]
        still = in_hand and not (again and reroll is Reroll.ONE_FAILED)
        for _, _, second in faces if again else [(face, kind, outcome)]:
            for (a, b), chance in second.items():
                found[a, b, still] += share * chance * (share if again else 1)
    return found


# --- saves, damage, models


def _save_faces(weapon: WeaponGroup, group: TargetGroup, rules: Ruleset) -> list[tuple] | None:
    """For each face (kind, {(unsaved wounds, 0): chance}); None when no face saves."""
    numbers = [] if group.fixed_save is None else [group.fixed_save]
    if group.save is not None:
        numbers.append(group.save + weapon.ap - (rules.cover if group.cover and not weapon.melee else 0))
    if not numbers or Step.SAVE not in rules.steps:
        return None
    needed = max(min(numbers), rules.best_save)
    faces = []
    for face in range(1, rules.die + 1):
        passes = face > rules.natural_fail and face >= needed
        faces.append((face, "pass", {(0, 0): ONE}) if passes else (face, "fail", {(1, 0): ONE}))
    return faces if any(kind == "pass" for _, kind, _ in faces) else None


def _points(weapon: WeaponGroup, group: TargetGroup, rules: Ruleset) -> dict[int, Fraction]:
    """What one unsaved wound takes, before the model's last wound stops it."""
    found: dict = defaultdict(Fraction)
    ignored = Fraction(0)
    if group.ignore is not None:
        good = [face for face in range(1, rules.die + 1) if face >= group.ignore and face > rules.natural_fail]
        ignored = Fraction(len(good), rules.die)
    for rolled, chance in _amount(weapon.damage).items():
        points = ceil(Fraction(rolled, 2)) if group.halve else rolled
        points = max(points - group.reduce, 1)
        for taken in range(points + 1):
            share = comb(points, taken) * (1 - ignored) ** taken * ignored ** (points - taken)
            found[taken] += chance * share
    return found


class _Facing:
    """What each target group does against a weapon group: its save faces, re-roll, the points it takes."""

    def __init__(self, weapon: WeaponGroup, attack: Attack, rules: Ruleset) -> None:
        groups = attack.target.groups
        self.faces = [_save_faces(weapon, group, rules) for group in groups]
        self.rerolls = [group.reroll_save for group in groups]
        self.points = [_points(weapon, group, rules) for group in groups]
        self.spills = weapon.spills


def _hurt(chains: dict, facing: _Facing, counted: bool) -> dict:
    """One unsaved wound on each possible unit; `counted` adds it to the unsaved ones if a model is left."""
    after: dict = defaultdict(Fraction)
    for (unsaved, unit, *rest), chance in chains.items():
        if not unit:
            after[unsaved, unit, *rest] += chance
            continue
        for points, share in facing.points[unit[0][0]].items():
            after[unsaved + counted, _struck(unit, points, facing.spills), *rest] += chance * share
    return after


def _together(chains: dict, coming: dict, facing: _Facing) -> dict:
    """One target group: all ordinary wounds are saved at once, then every unsaved wound takes its damage."""
    faces, reroll = facing.faces[0], facing.rerolls[0]
    unsaved: dict = defaultdict(Fraction)
    for (ordinary, piercing), chance in coming.items():
        saved = {(ordinary, 0): ONE} if faces is None else _pool(ordinary, faces, reroll)
        for (through, _), share in saved.items():
            unsaved[through + piercing] += chance * share
    found: dict = defaultdict(Fraction)
    for wounds in range(max(unsaved) + 1):
        for (so_far, unit), chance in chains.items():
            found[so_far + wounds, unit] += chance * unsaved.get(wounds, 0)
        chains = _hurt(chains, facing, counted=False)
    return {key: chance for key, chance in found.items() if chance}


def _in_turn(chains: dict, coming: dict, facing: _Facing) -> dict:
    """Several target groups: wounds are saved one at a time by whoever takes them, until none is left."""
    found: dict = defaultdict(Fraction)
    states = {(unsaved, unit, True): share for (unsaved, unit), share in chains.items()}
    for ordinary in range(max(ordinary for ordinary, _ in coming) + 1):
        pierced = states
        for piercing in range(max(piercing for _, piercing in coming) + 1):
            chance = coming.get((ordinary, piercing), Fraction(0))
            for (unsaved, unit, _), share in pierced.items() if chance else ():
                found[unsaved, unit] += chance * share
            pierced = _hurt(pierced, facing, counted=True)
        states = _one_save(states, facing)
    return found


def _one_save(states: dict, facing: _Facing) -> dict:
    after: dict = defaultdict(Fraction)
    failed: dict = defaultdict(Fraction)
    for (unsaved, unit, in_hand), chance in states.items():
        if not unit:
            after[unsaved, unit, in_hand] += chance
            continue
        number = unit[0][0]
        faces = facing.faces[number]
        if faces is None:
            failed[unsaved, unit, in_hand] += chance
            continue
        for (through, _, still), share in _die(faces, facing.rerolls[number], in_hand).items():
            (failed if through else after)[unsaved, unit, still] += chance * share
    for key, chance in _hurt(failed, facing, counted=True).items():
        after[key] += chance
    return after
