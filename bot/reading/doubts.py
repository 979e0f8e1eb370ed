"""What the clauses leave open once they stand together: contradictions between clauses, and questions to ask."""

from __future__ import annotations

from collections.abc import Iterator

from bot.misread import Misread
from bot.reading.clause import Doubt
from bot.reading.draft import Draft, Part, Said
from bot.wording import CLAUSES

_EFFECTS = {"hit": ("extra_hits", "critical_hits_wound"), "wound": ("critical_wounds_pierce",)}


def settle(draft: Draft, weapons: list[Part], groups: list[Part], die: int) -> None:
    """Complain of what cannot stand together, and note what must be asked."""
    for weapon in weapons:
        _no_melee_at_range(draft, weapon, groups)
        one_critical(draft, weapon)
        draft.doubts += _sixes(weapon, die)
        draft.doubts += _in_all(weapon)
        draft.doubts += _wound_on_sixes(draft, weapon, die)
    _no_rerolls(weapons, groups)
    for group in groups:
        _lost_fewer(group)


def _lost_fewer(group: Part) -> None:
    """A model that has lost all its wounds is no longer there."""
    lost, wounds = group.fields.get("lost"), group.get("wounds", 1)
    if lost is not None and lost.value >= wounds:
        raise Misread(f'"{lost.words}": a model of W{wounds} has lost fewer than {wounds}', lost.span)


def contradiction(one: Said, other: Said) -> Misread:
    """The complaint that shows both places."""
    first, second = sorted((one, other), key=lambda said: said.span)
    return Misread(f'"{first.words}" and "{second.words}" contradict each other', second.span, also=first.span)


def _no_melee_at_range(draft: Draft, weapon: Part, groups: list[Part]) -> None:
    melee = weapon.fields.get("melee")
    shooting = weapon.fields.get("shooting")
    if melee is None or not melee.value:
        return
    if shooting is not None:
        raise contradiction(melee, shooting)
    ranged = [weapon.fields.get(name) for name in ("range", "half_double", "half_plus")]
    ranged += [draft.shot.fields.get(name) for name in ("distance", "half")]
    ranged += [group.fields.get("cover") for group in groups]
    for said in ranged:
        if said is not None and said.value:
            raise contradiction(melee, said)


def _no_rerolls(weapons: list[Part], groups: list[Part]) -> None:
    parts = (*weapons, *groups)
    denied = next((part.fields["no_rerolls"] for part in parts if "no_rerolls" in part.fields), None)
    if denied is None:
        return
    for part in parts:
        for name, said in part.fields.items():
            if name.startswith("reroll_"):
                raise contradiction(denied, said)


def one_critical(draft: Draft, weapon: Part) -> None:
    """ "crits on 5+" names no step: hits, where they alone have an effect; otherwise it is asked."""
    said = weapon.fields.pop("critical", None)
    if said is None:
        return
    wounds, hits = (any(name in weapon.fields for name in _EFFECTS[step]) for step in ("wound", "hit"))
    if wounds or not hits:
        choices = tuple(((said.span, f"critical {step}s on {said.value}+"),) for step in ("hit", "wound"))
        draft.doubts.append(Doubt(f'"{said.words}": hits or wounds?', choices))
        return
    draft.notes.append(f'"{said.words}" is read as critical hits')
    draft.put(weapon, "critical_hit", said)


def _sixes(weapon: Part, die: int) -> Iterator[Doubt]:
    """ "6s to hit" stand for critical hits only while the threshold is the highest face."""
    for step, effects in _EFFECTS.items():
        threshold, sixes = weapon.fields.get(f"critical_{step}"), weapon.fields.get(f"sixes_{step}")
        if threshold is None or sixes is None or threshold.value == die:
            continue
        words = ", ".join(CLAUSES[effect](weapon.get(effect)) for effect in effects if effect in weapon.fields)
        yield Doubt(
            f'"{threshold.words}", yet "{sixes.words}": on which faces?',
            (((sixes.span, words),), ((threshold.span, ""),)),
        )


def _wound_on_sixes(draft: Draft, weapon: Part, die: int) -> Iterator[Doubt]:
    """ "6s to wound" beside a strength is rather the beginning of what a 6 does."""
    wound, strength = weapon.fields.get("wound"), weapon.fields.get("strength")
    if wound is None or strength is None:
        return
    if wound.value == die and "+" not in wound.words and "on" not in wound.words:
        question = f'"{wound.words}": they wound on nothing else, or what happens then?'
        pierce = "critical wounds pierce"
        yield Doubt(question, (((wound.span, f"wound {die}+"),), ((wound.span, pierce),), ((wound.span, ""),)))
    else:
        draft.notes.append(f'"{wound.words}" counts, not strength against toughness')


def _in_all(weapon: Part) -> Iterator[Doubt]:
    """ "5 models with 10 attacks": each, or in all?"""
    attacks, models = weapon.fields.get("attacks"), weapon.fields.get("models")
    if weapon.fields.pop("in_all", None) is not None:
        weapon.fields.pop("models", None)
        return
    if attacks is None or models is None or models.value == 1 or weapon.get("each") or weapon.get("stat"):
        return
    yield Doubt(
        f'"{attacks.words}": each, or in all?',
        (((attacks.span, f"{attacks.words} each"),), ((models.span, ""),)),
    )
