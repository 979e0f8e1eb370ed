"""Rosters: read from YAML with every complaint at once, from typed lines, and written back unchanged."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.content import ROOM, ContentError, dump, load_rosters, parse
from bot.misread import Misread
from bot.reading.card import looks_like_card, read_card
from bot.reading.message import Message
from bot.reading.table_roster import roster_request
from bot.requests.table import PasteRoster, TypeRoster
from bot.roster import Group, Roster, Unit, Weapon
from bot.unit_text import unit_text
from resolver.amount import Amount, fixed
from resolver.attack import Reroll

DEMO = load_rosters()
MINIMAL = """\
side: Ferrymen
units:
  - name: Oars
    move: 5
    toughness: 3
    groups:
      - {name: rowers, models: 4, save: 6}
"""


def card(line: str) -> Unit:
    return read_card(Message(line), 0, len(line))


def complaints(text: str) -> tuple[str, ...]:
    with pytest.raises(ContentError) as error:
        parse(text, Roster, "roster")
    return error.value.complaints


def test_the_demonstration_has_two_sides_with_shooting_melee_a_leader_and_an_auxiliary() -> None:
    wardens = DEMO["Saltmarsh Wardens"].units[0]
    assert set(DEMO) == {"Saltmarsh Wardens", "Kiln Guard"}
    assert [group.name for group in wardens.groups] == ["rifles", "punt gunner", "reeve"]
    rifles, gunner, reeve = wardens.groups
    assert {weapon.melee for weapon in rifles.weapons} == {True, False}
    assert rifles.weapons[0].range == 30
    assert rifles.weapons[0].half_plus == fixed(1)
    assert gunner.weapons[0].attacks == Amount(1, 3)
    assert (reeve.wounds, reeve.save) != (rifles.wounds, rifles.save)


@pytest.mark.parametrize("side", sorted(DEMO))
def test_a_roster_is_exported_and_read_back_unchanged(side: str) -> None:
    text = dump(DEMO[side])
    assert parse(text, Roster, "roster") == DEMO[side]
    assert dump(parse(text, Roster, "roster")) == text


def test_every_key_of_a_weapon_and_a_group_is_explained_in_the_example() -> None:
    explained = (ROOM / "config" / "rosters" / "saltmarsh-wardens.yaml").read_text(encoding="utf-8").split("\nside:")[0]
    for kind in (Weapon, Group, Unit, Roster):
        for name in kind.__dataclass_fields__:
            assert name in explained or name in ("about", "name", "groups", "strength", "range", "weapons"), name


def test_what_is_left_out_of_a_roster_has_its_plain_meaning() -> None:
    group = parse(MINIMAL, Roster, "roster").units[0].groups[0]
    assert (group.wounds, group.weapons, group.fixed_save, group.ignore) == (1, (), None, None)


def test_all_complaints_are_told_at_once_with_key_and_line() -> None:
    text = MINIMAL.replace("move: 5", "move: fast").replace("save: 6", "save: 6, colour: red") + "extra: 1\n"
    found = complaints(text)
    assert [complaint.split(": ")[0] for complaint in found] == ["roster:4", "roster:7", "roster:8"]
    assert "units[0].move" in found[0]
    assert "units[0].groups[0].colour" in found[1]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("models: 4", "models: 0"), "a number of models lies between 1 and 200, got 0"),
        (("move: 5", "move: 500"), "a move lies between 0 and 100"),
        (("name: Oars", "name: ''"), "the name of a unit has 1 to 40 characters"),
        (("name: rowers", "name: 'a: b'"), "no colon"),
        (("save: 6}", "save: 6, weapons: [{name: oar, attacks: 0, hit: 4}]}"), "a number of attacks"),
        (("save: 6}", "save: 6, weapons: [{name: oar, attacks: 1}]}"), "hit: is missing"),
        (("save: 6}", "save: 6}\n      - {name: rowers, models: 1}"), "two groups are called rowers"),
    ],
)
def test_an_impossible_roster_is_refused(change: tuple[str, str], said: str) -> None:
    assert any(said in complaint for complaint in complaints(MINIMAL.replace(*change)))


def test_aliases_are_refused_before_they_unfold() -> None:
    bomb = "a: &a [x, x]\n" + "".join(
        f"{new}: &{new} [*{old}, *{old}, *{old}, *{old}, *{old}, *{old}]\n"
        for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert complaints(bomb) == ("roster:1: file: anchors and aliases are not read here",)


@pytest.mark.parametrize("text", ["[" * 5000, "{a: " * 3000, "- " * 4000])
def test_nesting_without_end_is_refused(text: str) -> None:
    assert "nest" in complaints(text)[0]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- 1\n- 2\n",
        "side: !!python/object:os.system x\nunits: []\n",
        "? [a]\n: b\n",
        "side: [\n",
        "side: x\n---\nside: y\n",
    ],
)
def test_yaml_that_is_no_roster_gets_a_complaint_and_not_a_trace(text: str) -> None:
    assert all(complaint.startswith("roster:") for complaint in complaints(text))


def test_a_weapon_without_a_range_is_for_melee_and_cannot_have_a_half_range_bonus() -> None:
    text = MINIMAL.replace("save: 6}", "save: 6, weapons: [{name: oar, attacks: 1, hit: 4, half_plus: 1}]}")
    assert any("melee weapons have no range and no half range" in complaint for complaint in complaints(text))


# typed lines


def test_a_unit_is_read_off_a_card_as_one_reads_it_aloud() -> None:
    unit = card("Kiln Guard: M5 T5 W3 Sv2+, 5 models, hammer A3 WS3+ S6 AP-1 damage 2")
    hammer = Weapon(name="hammer", attacks=fixed(3), hit=3, strength=6, ap=1, damage=fixed(2))
    group = Group(name="Kiln Guard", models=5, wounds=3, save=2, weapons=(hammer,))
    assert unit == Unit(name="Kiln Guard", move=5, toughness=5, groups=(group,))


def test_in_a_roster_d3_is_a_die_and_3_is_flat() -> None:
    unit = card("Eels: M6 T3, 2 models Sv6+, bite A2 WS4+ S4 D3, spit A1 WS4+ S4 damage 3, gnaw A1 WS4+ S4 D2")
    assert [str(weapon.damage) for weapon in unit.groups[0].weapons] == ["d3", "3", "2"]


def test_a_leader_with_other_statistics_stands_in_the_unit() -> None:
    unit = card(
        "Wardens: M6 T3, 9 models Sv5+, rifle range 30 A1 BS4+ S4 plus reeve: 1 model W3 Sv4+, sabre A4 WS3+ S4"
    )
    assert [(group.name, group.models, group.wounds) for group in unit.groups] == [("Wardens", 9, 1), ("reeve", 1, 3)]
    assert unit.groups[1].weapons[0].name == "sabre"


@pytest.mark.parametrize(
    "line",
    [
        'Crew: move 6", toughness 4, 4 models with 2 wounds each, 4+ save, fire tube 9" d6 shots auto hit S4',
        "Crew: M6 T4 4 models 2W save 4+ fire tube range 9 d6 attacks hits automatically S4",
        "Crew: 4 models, W2, Sv4+, M6, T4, fire tube: d6 attacks, auto hit, strength 4, range 9",
    ],
)
def test_a_card_is_read_in_any_order(line: str) -> None:
    tube = Weapon(name="fire tube", attacks=Amount(1, 6), hit=None, strength=4, range=9.0)
    group = Group(name="Crew", models=4, wounds=2, save=4, weapons=(tube,))
    assert card(line) == Unit(name="Crew", move=6, toughness=4, groups=(group,))


@pytest.mark.parametrize(
    ("line", "guilty", "said"),
    [
        ("Guard: T5, 5 models Sv2+", "Guard", "have no move"),
        ("Guard: M5 T5", "Guard", "how many models"),
        ("Guard: M5 T5 5 models", "", "what is the save"),
        ("Guard: M5 T5 T6 5 models Sv2+", "T6", "stands twice"),
        ("Guard: M5 T5 5 models Sv2+ hammer", "hammer", "has no attacks"),
        ("Guard: M5 T5 5 models Sv2+ hammer A3", "hammer", "has no hit"),
        ("Guard: M5 T5 5 models Sv2+ hammer A3 WS3+ §§", "§", "not a statistic"),
        ("Guard: M5 T5 5 models Sv2+ hammer A0 WS3+ S4", "hammer", "lies between"),
        ("Guard: M5 T5 900 models Sv2+", "", "lies between 1 and 200"),
    ],
)
def test_a_card_that_cannot_be_read_points_at_the_word(line: str, guilty: str, said: str) -> None:
    with pytest.raises(Misread) as error:
        card(line)
    assert said in error.value.message
    assert error.value.at is not None
    assert line[slice(*error.value.at)].strip().startswith(guilty)


def test_a_side_may_stand_before_its_units() -> None:
    lines = [f"{name}: M5 T5, 5 models Sv2+, hammer A3 WS3+ S6" for name in ("Alpha Guard", "Beta Guard")]
    request = roster_request(Message("\n".join(f"Reds: {line}" for line in lines)))
    assert request == TypeRoster(tuple(map(card, lines)), "Reds")
    weapon_first = "Kiln Guard: hammer: A3 WS3+ S6, M5 T5, 5 models Sv2+"
    assert roster_request(Message(weapon_first)) == TypeRoster((card(weapon_first),), None)


@pytest.mark.parametrize("body", ["name: X\nfoo: 1", "- name: X", "# mine\nweapons: []", "{a: b}"])
def test_what_was_meant_as_a_roster_file_is_read_as_one(body: str) -> None:
    assert roster_request(Message(f"roster\n{body}")) == PasteRoster(body)


def test_only_a_line_with_statistics_is_taken_for_a_card() -> None:
    assert looks_like_card("kiln guard: m5 t5 w3 sv2+, 5 models")
    assert not looks_like_card("correct that: t5")
    assert not looks_like_card("note: the wardens move 5")


names = st.sampled_from(["hammers", "punt gunner", "reeve", "old crew", "rank and file"])
amounts = st.builds(Amount, st.just(0), st.just(0), st.integers(1, 9)) | st.builds(
    Amount, st.integers(1, 3), st.sampled_from([3, 6]), st.integers(0, 4)
)
number = st.integers(2, 6)
rerolls = st.none() | st.sampled_from([Reroll.ONES, Reroll.FAILED])


@st.composite
def weapons(draw: st.DrawFn) -> Weapon:
    reach = draw(st.none() | st.integers(1, 60).map(float))
    return Weapon(
        name=draw(st.sampled_from(["long rifle", "knife", "boathook", "sling"])),
        attacks=draw(amounts),
        hit=draw(st.none() | number),
        strength=draw(st.integers(1, 12)),
        ap=draw(st.integers(0, 4)),
        damage=draw(amounts),
        range=reach,
        half_plus=draw(st.none() | amounts) if reach else None,
        half_double=draw(st.booleans()) if reach else False,
        per_five=draw(st.integers(0, 2)),
        to_hit=draw(st.integers(-1, 1)),
        reroll_hit=draw(rerolls),
        reroll_wound=draw(rerolls),
        critical_hit=draw(st.none() | number),
        extra_hits=draw(st.none() | amounts),
        critical_hits_wound=draw(st.booleans()),
        critical_wounds_pierce=draw(st.booleans()),
        spills=draw(st.booleans()),
    )


@st.composite
def groups(draw: st.DrawFn) -> Group:
    return Group(
        name=draw(names),
        models=draw(st.integers(1, 20)),
        wounds=draw(st.integers(1, 6)),
        save=draw(st.none() | number),
        fixed_save=draw(st.none() | number),
        ignore=draw(st.none() | number),
        reduce=draw(st.integers(0, 2)),
        halve=draw(st.booleans()),
        weapons=tuple(draw(st.lists(weapons(), max_size=3, unique_by=lambda weapon: weapon.name))),
    )


units = st.builds(
    lambda move, toughness, made: Unit(name="Ferry Watch", move=float(move), toughness=toughness, groups=tuple(made)),
    st.integers(3, 12),
    st.integers(1, 9),
    st.lists(groups(), min_size=1, max_size=3, unique_by=lambda group: group.name),
)


@given(units)
def test_a_typed_line_reads_back_as_the_same_unit(unit: Unit) -> None:
    assert card(unit_text(unit)) == unit


@given(units)
def test_yaml_reads_back_as_the_same_unit(unit: Unit) -> None:
    roster = Roster(side="Ferrymen", units=(unit,))
    assert parse(dump(roster), Roster, "roster") == roster
