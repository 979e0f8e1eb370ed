"""The game as a fold: events are only appended, undo and mend are events, and replay equals state."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.content import dump, load_rosters
from bot.game import Happened, apply, changes_the_past, effective, fold, undone
from bot.happening import APPLY
from bot.standing import Game, Key

ROSTERS = {side: dump(roster) for side, roster in load_rosters().items()}
WARDENS: Key = ("Saltmarsh Wardens", "Wardens")
RUNNERS: Key = ("Saltmarsh Wardens", "Reed Runners")
GUARD: Key = ("Kiln Guard", "Kiln Guard")
CREW: Key = ("Kiln Guard", "Ember Crew")
PHASES = ["command", "movement", "shooting", "charge", "fight"]
OPENING = {
    "type": "open",
    "sides": list(ROSTERS),
    "rosters": ROSTERS,
    "ruleset": "standard",
    "rounds": 5,
    "phases": PHASES,
}


def happened(*events: dict[str, Any], mends: dict[int, int] | None = None) -> list[Happened]:
    """The opening as #1, then these events as #2, #3, …"""
    mends = mends or {}
    numbered = enumerate([OPENING, *events], 1)
    return [Happened(number, "Ada", event, mends.get(number)) for number, event in numbered]


def after(*events: dict[str, Any], mends: dict[int, int] | None = None) -> Game:
    game = fold(happened(*events, mends=mends))
    assert game is not None
    return game


def step(by: int = 1) -> dict[str, Any]:
    return {"type": "step", "by": by}


def act(unit: Key, deed: str, **more: Any) -> dict[str, Any]:
    return {"type": "act", "action": deed, "unit": list(unit), "deeds": [deed], **more}


def hit(target: Key, hurt: dict[str, int], by: Key = WARDENS, deed: str = "shot") -> dict[str, Any]:
    event = {"type": "attack", "action": "shoot", "unit": list(by), "target": list(target)}
    return {**event, "deed": deed, "hurt": hurt, "slain": 0}


def undo(number: int) -> dict[str, Any]:
    return {"type": "undo", "undoes": number}


def test_no_events_make_no_game() -> None:
    assert fold([]) is None


def test_the_game_begins_with_the_first_phase_of_the_side_named_first() -> None:
    here = after().place
    assert (here.round, here.turn, here.phase) == (1, "Kiln Guard", "command")


def test_every_moment_is_followed_by_the_next_until_the_rounds_are_over() -> None:
    game = after()
    assert len(game.places) == 5 * 2 * 5
    assert [place.phase for place in game.places[:5]] == PHASES
    assert [(p.round, p.turn) for p in game.places[::5]][:3] == [
        (1, "Kiln Guard"),
        (1, "Saltmarsh Wardens"),
        (2, "Kiln Guard"),
    ]
    assert after(step(50)).over
    assert not after(step(49)).over


def test_the_winner_of_the_roll_off_goes_first_in_every_round() -> None:
    game = after({"type": "first", "side": "Saltmarsh Wardens"})
    assert [place.turn for place in game.places[::5]][:4] == ["Saltmarsh Wardens", "Kiln Guard"] * 2


def test_a_phase_steps_back_and_never_before_the_beginning() -> None:
    assert after(step(), step(), step(-1)).step == 1
    assert after(step(), step(-1), step(-1)).step == 0


def test_what_a_unit_did_counts_for_this_turn_only() -> None:
    assert after(act(GUARD, "moved")).did(GUARD) == {"moved": 2}
    assert after(act(GUARD, "moved"), step(5)).did(GUARD) == {}
    assert after(act(GUARD, "moved"), step(5), step(-5)).did(GUARD) == {"moved": 2}


def test_engagement_lasts_until_it_is_ended() -> None:
    charge = act(GUARD, "charged", reached=list(WARDENS))
    assert after(charge, step(5)).foes(GUARD) == (WARDENS,)
    assert after(charge, step(5)).did(WARDENS) == {"engaged": 2}
    assert after(charge, act(WARDENS, "fell back")).foes(GUARD) == ()


def test_wounds_are_lost_by_the_group_and_leave_the_wounded_model_in_front() -> None:
    standing = after(hit(GUARD, {"0": 4})).units[GUARD]
    assert standing.left == ((4, 1), (1, 0))
    assert after(hit(GUARD, {"0": 4}), hit(GUARD, {"0": 2})).units[GUARD].left[0] == (3, 0)


def test_wounds_past_the_last_model_are_lost() -> None:
    assert after(hit(GUARD, {"0": 99, "1": 99})).units[GUARD].models == 0


def test_a_unit_that_is_gone_is_engaged_with_nobody() -> None:
    charge = act(GUARD, "charged", reached=list(WARDENS))
    assert after(charge, hit(GUARD, {"0": 99, "1": 99})).foes(WARDENS) == ()


def test_a_move_makes_distances_unknown_and_standing_still_does_not() -> None:
    told = {"type": "distance", "units": [list(WARDENS), list(GUARD)], "inches": 14}
    pair = frozenset((WARDENS, GUARD))
    assert after(told).distances == {pair: 14}
    assert after(told, act(GUARD, "moved")).distances == {}
    assert after(told, act(GUARD, "stayed", moved=False)).distances == {pair: 14}


def test_undo_passes_over_an_event_wherever_it_stands() -> None:
    game = after(hit(GUARD, {"0": 3}), hit(GUARD, {"0": 3}), undo(2))
    assert game.units[GUARD].left[0] == (4, 0)
    assert game.did(WARDENS) == {"shot": 3}


def test_an_undo_can_be_undone() -> None:
    assert after(hit(GUARD, {"0": 3}), undo(2), undo(3)).units[GUARD].left[0] == (4, 0)
    assert after(hit(GUARD, {"0": 3}), undo(2), undo(3), undo(4)).units[GUARD].left[0] == (5, 0)


def test_a_mend_takes_the_place_of_what_it_mends_and_what_came_later_stays() -> None:
    game = after(hit(GUARD, {"0": 3}), hit(CREW, {"0": 2}), hit(GUARD, {"0": 6}), mends={4: 2})
    assert game.units[GUARD].left[0] == (3, 0)
    assert game.units[CREW].models == 3
    assert game.did(WARDENS) == {"shot": 3}


def test_the_last_mend_counts_and_an_undone_mend_does_not() -> None:
    events = (hit(GUARD, {"0": 3}), hit(GUARD, {"0": 6}), hit(GUARD, {"0": 9}))
    assert after(*events, mends={3: 2, 4: 2}).units[GUARD].left[0] == (2, 0)
    assert after(*events, undo(4), mends={3: 2, 4: 2}).units[GUARD].left[0] == (3, 0)


def test_undoing_the_mended_roll_undoes_the_mend_with_it() -> None:
    assert after(hit(GUARD, {"0": 3}), hit(GUARD, {"0": 6}), undo(2), mends={3: 2}).units[GUARD].left[0] == (5, 0)


def test_a_new_opening_begins_a_new_game() -> None:
    assert after(hit(GUARD, {"0": 3}), OPENING).units[GUARD].models == 6


def test_the_proposal_is_gone_once_it_is_agreed_declined_or_the_phase_is_over() -> None:
    asked = {"type": "propose", "text": "undo #2", "sides": ["Kiln Guard"]}
    assert after(asked).proposals
    number = after(asked).proposals[0].entry
    scored = {"type": "score", "side": "Kiln Guard", "points": 1, "agreed": {"by": "Ben", "asked": number}}
    for answer in ({"type": "decline"}, {"type": "decline", "declines": number}, step(), scored):
        assert not after(asked, answer).proposals, answer


def test_of_several_proposals_one_about_the_same_takes_the_place_of_the_older_for_good() -> None:
    def asked(text: str, about: str) -> dict[str, Any]:
        return {"type": "propose", "text": text, "sides": ["Kiln Guard"], "about": about}

    first, other, second = asked("correct #2 T6", "#2"), asked("undo #1", "#1"), asked("correct #2 T7", "#2")
    assert [one.text for one in after(first, other, second).proposals] == ["undo #1", "correct #2 T7"]
    number = after(first, other, second).proposals[-1].entry
    declined = after(first, other, second, {"type": "decline", "declines": number})
    assert [one.text for one in declined.proposals] == ["undo #1"]


def test_a_person_sits_on_one_side_at_a_time() -> None:
    sit = {"type": "sit", "side": "Kiln Guard", "who": "Ben"}
    move = {"type": "sit", "side": "Saltmarsh Wardens", "who": "Ben"}
    seats = {side.name: side.seats for side in after(sit, move).sides}
    assert seats == {"Kiln Guard": (), "Saltmarsh Wardens": ("Ben",)}


@pytest.mark.parametrize("kind", sorted(APPLY))
def test_every_kind_of_event_is_named_in_plain_words(kind: str) -> None:
    assert kind == kind.lower()
    assert APPLY[kind].__name__.startswith("_")


# replay equals state

units = st.sampled_from([WARDENS, RUNNERS, GUARD, CREW])
deeds = st.sampled_from(["moved", "advanced", "fell back", "shot", "charged", "fought", "stayed"])
groups = st.sampled_from(["0"])
small = st.integers(0, 7)
pairs = st.tuples(st.sampled_from([WARDENS, RUNNERS]), st.sampled_from([GUARD, CREW])).map(
    lambda pair: [list(u) for u in pair]
)
event = st.one_of(
    st.builds(step, st.sampled_from([1, 1, 1, -1])),
    st.builds(act, units, deeds),
    st.builds(lambda target, points: hit(target, {"0": points}), units, small),
    st.builds(lambda pair: act(tuple(pair[0]), "charged", reached=pair[1]), pairs),
    st.builds(lambda pair, value: {"type": "engage", "units": pair, "engaged": value}, pairs, st.booleans()),
    st.builds(lambda pair, far: {"type": "distance", "units": pair, "inches": far}, pairs, small),
    st.builds(
        lambda unit, points: {"type": "hurt", "unit": list(unit), "hurt": {"0": points}}, units, st.integers(-3, 3)
    ),
    st.builds(lambda unit, n: {"type": "left", "unit": list(unit), "left": {"0": [n, 0]}}, units, st.integers(0, 3)),
    st.builds(lambda n, add: {"type": "score", "side": "Kiln Guard", "points": n, "add": add}, small, st.booleans()),
    st.builds(lambda who: {"type": "sit", "side": "Kiln Guard", "who": who}, st.sampled_from("AB")),
    st.builds(lambda who: {"type": "leave", "who": who}, st.sampled_from("AB")),
    st.builds(lambda n: undo(n), st.integers(2, 30)),
    st.just({"type": "rest"}),
)
games = st.lists(st.tuples(event, st.none() | st.integers(2, 30)), max_size=30)


def numbered(drawn: list[tuple[dict[str, Any], int | None]]) -> list[Happened]:
    """Only what came before can be undone or mended, and only an attack mends."""
    items = happened()
    for item, mends in drawn:
        if item["type"] == "undo" and item["undoes"] > len(items):
            continue
        right = item["type"] == "attack" and mends is not None and mends < len(items)
        earlier = items[mends - 1].event["type"] == "attack" if right and mends else False
        items.append(Happened(len(items) + 1, "Ada", item, mends if earlier else None))
    return items


@given(games)
def test_replay_equals_the_state_kept_step_by_step(drawn: list[tuple[dict[str, Any], int | None]]) -> None:
    items = numbered(drawn)
    kept: Game | None = None
    for count, item in enumerate(items, 1):
        kept = fold(items[:count]) if changes_the_past(item.event, item.mends) else apply(kept, item)
        assert kept == fold(items[:count])


@given(games)
def test_nobody_ever_comes_back_from_nowhere(drawn: list[tuple[dict[str, Any], int | None]]) -> None:
    game = fold(numbered(drawn))
    assert game is not None
    for standing in game.units.values():
        for group, (models, lost) in zip(standing.unit.groups, standing.left, strict=True):
            assert 0 <= models <= group.models
            assert 0 <= lost < max(group.wounds, 1)
            assert models or not lost


@given(games)
def test_what_was_undone_is_as_if_it_had_never_been_said(drawn: list[tuple[dict[str, Any], int | None]]) -> None:
    items = numbered(drawn)
    void = undone(items)
    never = [item for item in items if item.entry not in void and item.event["type"] != "undo"]
    never = [item for item in never if item.mends is None or item.mends not in void]
    counting = [item.event for item in effective(items) if item.event["type"] != "undo"]
    assert counting == [item.event for item in effective(never)]
