"""Clauses in any order, in any of their wordings, with commas or without: the same attack, or a complaint."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.requests.attack import Odds
from bot.wording import CLAUSES
from resolver.attack import Attack, Reroll, TargetGroup, WeaponGroup
from tests.reading.drawn import attacks

CONTEXT = Context(ruleset=load_rulesets()["standard"])
QUICK = settings(suppress_health_check=[HealthCheck.too_slow], max_examples=50)

HIT = ("hit {0}+", "hits on {0}s", "hitting on {0}+", "{0}+ to hit", "{0}s to hit", "skill {0}+", "on {0}s to hit")
ONES = ("re-roll 1s to {0}", "rerolling ones to {0}", "reroll {0} rolls of 1", "re-rolls 1s on {0}s")
FAILED = ("re-roll failed {0}s", "reroll {0}s", "re-rolling all failed {0}s", "full rerolls to {0}")
NON_CRITICAL = ("re-roll non-critical {0}s", "reroll noncritical {0}s")
ONE_FAILED = ("re-roll one failed {0}", "reroll a failed {0}", "one re-roll to {0}")
REROLLS = {
    Reroll.ONES: ONES,
    Reroll.FAILED: FAILED,
    Reroll.NON_CRITICAL: NON_CRITICAL,
    Reroll.ONE_FAILED: ONE_FAILED,
}

# The wordings of each field; where none is listed here its canonical clause is used.
WORDINGS: dict[str, tuple[str, ...]] = {
    "hit": HIT,
    "strength": ("S{0}", "strength {0}", "str {0}", "S {0}", "strength of {0}"),
    "wound": ("wound {0}+", "wounds on {0}s", "wounding on {0}+", "{0}+ to wound"),
    "ap": ("AP-{0}", "AP {0}", "AP{0}", "-{0} AP", "AP−{0}", "armour penetration {0}"),
    "damage": ("damage {0}", "dmg {0}", "{0} damage"),
    "critical_hit": ("critical hits on {0}+", "crit hits on {0}s"),
    "critical_wound": ("critical wounds on {0}+", "crit wounds on {0}s"),
    "critical_hits_wound": ("critical hits wound", "crit hits auto-wound", "critical hits wound automatically"),
    "critical_wounds_pierce": ("critical wounds pierce", "crit wounds pierce"),
    "range": ("range {0:g}", '{0:g}" range', "range of {0:g} inches"),
    "half_double": ("half range double attacks", "double shots at half range"),
    "half_plus": ("half range +{0} attacks", "+{0} attacks within half range"),
    "spills": ("damage spills", "excess damage spills over"),
    "models": ("{0} models", "unit of {0}", "squad of {0}", "{0} of them"),
    "save": ("save {0}+", "{0}+ save", "Sv{0}+", "saves on {0}s", "a {0}+ save", "saving on {0}s"),
    "fixed_save": ("fixed save {0}+", "{0}+ fixed save", "fixed save of {0}+"),
    "wounds": ("W{0}", "{0}W", "wounds {0}", "{0} wounds each"),
    "ignore": ("ignore {0}+", "ignores on {0}s", "{0}+ ignore", "ignoring on a {0}+"),
    "cover": ("cover", "in cover", "with cover"),
    "reduce": ("damage -{0}", "-{0} damage", "damage minus {0}"),
    "halve": ("half damage", "halves damage", "damage halved"),
    "toughness": ("T{0}", "toughness {0}", "T {0}"),
    "distance": ("at {0:g}", 'at {0:g}"', "at {0:g} inches"),
}


def worded(draw: st.DrawFn, name: str, value: object) -> str:
    """One of the wordings of a field."""
    if name.startswith("reroll_"):
        assert isinstance(value, Reroll)
        return draw(st.sampled_from(REROLLS[value])).format(name.removeprefix("reroll_"))
    if name == "hit" and value is None:
        return draw(st.sampled_from(("auto hit", "hits automatically", "auto hits")))
    if name == "save" and value is None:
        return draw(st.sampled_from(("no save", "no saves")))
    wordings = WORDINGS.get(name)
    if wordings is None or value == 1:
        return CLAUSES[name](value)
    if name == "damage" and str(value) in ASKED_ABOUT:
        wordings = ("damage {0}", "dmg {0}")  # before the word it may be a statistic, and is asked about
    return draw(st.sampled_from(wordings)).format(value)


def clauses(draw: st.DrawFn, group: WeaponGroup | TargetGroup, names: tuple[str, ...]) -> list[str]:
    """The clauses of a group, in any order."""
    said = []
    for name in names:
        value = getattr(group, name)
        if name in ("hit", "save", "damage", "wounds") or value not in (None, False, 0):
            said.append(worded(draw, name, value))
    return draw(st.permutations(said))


ASKED_ABOUT = ("d2", "d4", "d5")
WEAPON = tuple(name for name in WeaponGroup.__dataclass_fields__ if name not in ("attacks", "models", "melee"))
TARGET = tuple(TargetGroup.__dataclass_fields__)


@st.composite
def messages(draw: st.DrawFn, joint: str) -> tuple[Attack, str]:
    """An attack and one way of typing it."""
    attack = draw(attacks())
    attack = Attack(weapons=attack.weapons[:1], target=attack.target, distance=attack.distance)
    weapon, target = attack.weapons[0], attack.target
    attacks_said = CLAUSES["attacks"](weapon.attacks)
    if weapon.models > 1:
        attacks_said = f"{weapon.models} models with {attacks_said} each"
    first = [attacks_said, *clauses(draw, weapon, WEAPON), *(["melee"] if weapon.melee else [])]
    if attack.distance is not None:
        first.append(worded(draw, "distance", attack.distance))
    second = [draw(st.sampled_from(WORDINGS["toughness"])).format(target.toughness)]
    if len(target.groups) == 1:
        second += clauses(draw, target.groups[0], TARGET)
        ending = joint.join(draw(st.permutations(second)))
    else:
        ending = f"{second[0]}: " + " then ".join(joint.join(clauses(draw, one, TARGET)) for one in target.groups)
    into = draw(st.sampled_from(("into", "vs", "against", "v", "Into")))
    return attack, f"{joint.join(draw(st.permutations(first)))} {into} {ending}"


@QUICK
@given(messages(joint=", "))
def test_with_commas_every_order_and_wording_is_read_right(drawn: tuple[Attack, str]) -> None:
    attack, message = drawn
    request = read(message, CONTEXT)
    assert isinstance(request, Odds)
    assert request.attack == attack


@QUICK
@given(messages(joint=" "))
def test_without_commas_no_order_or_wording_is_read_wrong(drawn: tuple[Attack, str]) -> None:
    attack, message = drawn
    try:
        request = read(message, CONTEXT)
    except (Misread, Unsure):
        return
    assert isinstance(request, Odds)
    assert request.attack == attack
