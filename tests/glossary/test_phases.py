"""Each phase has its steps, what may be done, common slips and what comes next, all by the channel's ruleset."""

from __future__ import annotations

import pytest
from asking import machine

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.questions.values import values_of

RULESETS = load_rulesets()
GLOSSARY = Glossary()
every_ruleset = pytest.mark.parametrize("ruleset", RULESETS.values(), ids=RULESETS)
every_guide = pytest.mark.parametrize("guide", GLOSSARY.phases.values(), ids=GLOSSARY.phases)


@every_ruleset
def test_every_phase_of_every_ruleset_has_a_guide(ruleset) -> None:
    assert [phase.id for phase in ruleset.phases if phase.id not in GLOSSARY.phases] == []


@every_guide
def test_a_guide_tells_steps_permissions_and_slips(guide) -> None:
    assert len(guide.steps) >= 3
    assert guide.may
    assert guide.may_not
    assert guide.slips
    assert guide.entry in GLOSSARY.entries


@every_guide
@every_ruleset
def test_every_text_of_a_guide_can_be_filled(guide, ruleset) -> None:
    texts = (guide.about, *guide.steps, *guide.may, *guide.may_not, *guide.slips)
    assert not any("{" in text.format_map(values_of(ruleset)) for text in texts)


@pytest.mark.parametrize(
    ("message", "id"),
    [
        ("phase", "turn"),
        ("phases?", "turn"),
        ("what now", "turn"),
        ("phase charge", "charge"),
        ("phase moving", "movement"),
        ("the fight phase", "fight"),
        ("what do I do in the shooting phase?", "shooting"),
        ("what happens in the command phase", "command"),
        ("how does the charge phase work?", "charge"),
        ("what are the steps of the movement phase", "movement"),
        ("what comes after shooting", "charge"),
        ("whats after the movement phase?", "shooting"),
        ("which phase follows the charge phase", "fight"),
        ("what comes before the shooting phase?", "movement"),
    ],
)
def test_a_phase_is_asked_for_in_many_ways(app: App, message: str, id: str) -> None:
    data = machine(app, message)
    assert data["kind"] == "phase"
    assert data["id"] == id
    assert data["steps"]


def test_the_whole_turn_lists_the_phases_in_the_order_of_the_ruleset(app: App) -> None:
    titles = [phase.title for phase in RULESETS["standard"].phases]
    assert machine(app, "phase")["steps"] == titles


def test_after_the_last_phase_the_other_side_begins(app: App) -> None:
    reply = app.answer(Asked("what comes after the fight phase?", "Ann", "ferry"))
    assert reply.machine["id"] == "command"
    assert "other side has its turn" in reply.blocks[0].text  # type: ignore[union-attr]


def test_nothing_comes_before_the_first_phase(app: App) -> None:
    reply = app.answer(Asked("what comes before the command phase?", "Ann", "ferry"))
    assert "opens the turn" in reply.blocks[0].text  # type: ignore[union-attr]


def test_the_distances_in_the_steps_are_those_of_the_ruleset(app: App) -> None:
    movement = RULESETS["standard"].movement
    steps = " ".join(machine(app, "phase charge")["steps"])
    assert f'within {movement.charge_within:g}"' in steps
    assert f'within {movement.engaged_within:g}"' in steps


def test_the_first_game_has_no_command_phase(app: App) -> None:
    machine(app, "rules first-game")
    data = machine(app, "phase command")
    assert data["kind"] == "unknown"
    assert "without a command phase" in data["message"]
    assert machine(app, "what comes after the fight phase?")["id"] == "movement"


def test_every_offer_of_a_phase_is_answered(app: App) -> None:
    reply = app.answer(Asked("phase", "Ann", "ferry"))
    assert [machine(app, offer)["kind"] for offer in reply.offers] == ["phase"] * len(reply.offers)
