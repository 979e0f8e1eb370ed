"""Pages, audits and luck, as they are typed."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from recording import asked

from bot import verify
from bot.app import App
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Ledger, Storage
from bot.lucky import luck_line
from bot.reply import Reply

ATTACK = "roll 10 attacks, hit 4+, S5, AP-1, damage 1 into T4, 5 models, save 3+, W2"
Say = Callable[..., Reply]


@pytest.fixture
def say(storage: Storage) -> Say:
    app = App(House(load_rulesets(), load_glossary(), storage))

    def say(text: str, who: str = "Ann", **about: str) -> Reply:
        return app.answer(asked(text, who, **about))

    return say


# page, cut, reveal


def test_a_page_is_told_in_the_form_that_programs_rely_on(say: Say, ledger: Ledger) -> None:
    assert say("page").machine == {
        "kind": "page",
        "page": "2026-11-25-1",
        "commitment": ledger.page("low-ferry").commitment,
        "rolls": 0,
        "cuts": [],
        "secret": None,
    }


def test_the_commitment_is_shown_short_and_whole_on_request(say: Say, ledger: Ledger) -> None:
    commitment = ledger.page("low-ferry").commitment
    assert commitment not in plain(say("page"), 200)
    assert f"commitment {commitment[:16]}…" in plain(say("page"), 200)
    assert f"commitment {commitment}" in plain(say("page whole"), 200)


def test_a_cut_is_told_back(say: Say) -> None:
    reply = say("cut The Tide is Out!")
    assert reply.machine["cuts"] == ["The Tide is Out!"]
    assert "every die of this page now depends on these words too" in plain(reply, 200)


def test_a_second_or_late_cut_is_refused_kindly(say: Say) -> None:
    say("cut the tide is out")
    assert (
        say("cut once more").machine["message"] == "you have cut this page already; you can cut again on the next one"
    )
    say("dice 2d6")
    late = say("cut too late", who="Bo")
    assert (late.kind, "`reveal` opens the next page" in late.machine["message"]) == ("misread", True)


@pytest.mark.parametrize("words", ["x" * 101, "two\nlines", "\x07"])
def test_a_cut_that_cannot_be_is_refused_kindly(say: Say, words: str) -> None:
    reply = say(f"cut {words}")
    assert reply.kind == "misread"
    assert say("page").machine["cuts"] == []


def test_revealing_tells_the_secret_and_the_next_page(say: Say, ledger: Ledger) -> None:
    say("dice 5d6")
    reply = say("reveal")
    data = reply.machine
    assert (data["kind"], data["page"], data["rolls"]) == ("page", "2026-11-25-1", 1)
    assert data["next"]["page"] == "2026-11-25-2"
    assert data["next"]["secret"] is None
    assert data["next"]["commitment"] == ledger.page("low-ferry").commitment
    painted = plain(reply, 300)
    assert f"secret {data['secret']}" in painted
    assert data["next"]["commitment"] in painted
    assert "could look ahead" in painted


def test_what_was_said_and_revealed_is_verified(say: Say, ledger: Ledger) -> None:
    commitment = say("page").machine["commitment"]
    say("cut the tide is out")
    say(ATTACK)
    say("dice 20d6")
    say("charge 9")
    secret = say("reveal").machine["secret"]
    page = json.loads(json.dumps(ledger.export("low-ferry")))
    assert (page["secret"], page["commitment"]) == (secret, commitment)
    assert verify.verify(page).startswith("Verified.")


def test_a_reveal_delivered_twice_tells_the_same_page(say: Say) -> None:
    say("dice 2d6")
    first = say("reveal", event="m1")
    assert say("reveal", event="m1") == first


# audit


def test_without_dice_there_is_nothing_to_audit(say: Say) -> None:
    assert say("audit").machine["message"] == "there are no dice to audit yet"


def test_few_dice_are_said_to_be_too_few(say: Say) -> None:
    say("dice 10d6")
    reply = say("audit")
    painted = plain(reply, 200)
    assert "too few dice to say anything" in painted
    assert "too few to test: at least 30 dice are needed, 5 for each face" in painted
    assert reply.machine["samples"][0]["tests"] == {}


def test_an_audit_says_what_so_many_dice_could_have_shown(say: Say) -> None:
    """120 dice at 5% and 80%: one face must rise from 1 in 6 to 28.9% (checked against scipy in test_fairness)."""
    for _ in range(2):
        say("dice 60d6")
    reply = say("audit")
    (sample,) = reply.machine["samples"]
    assert (sample["sides"], sample["dice"], sum(sample["counts"])) == (6, 120, 120)
    assert set(sample["tests"]) == {"faces", "runs", "halves"}
    assert sample["smallest_bias"] == pytest.approx(0.1219, abs=0.0005)
    said = "120 dice cannot show a small bias: a face that comes 16.7% of the time would have to come 28.9%"
    assert said in plain(reply, 400)


def test_fewer_dice_than_faces_are_listed_rather_than_drawn(say: Say) -> None:
    say("dice d20")
    say("dice 7d6")
    rows = plain(say("audit")).splitlines()
    assert sum("█" in row or "·" in row for row in rows) == 6
    listed = next(row for row in rows if row.startswith("1 sealed die of 20 faces: "))
    assert 1 <= int(listed.rpartition(" ")[2]) <= 20


def test_the_umpires_dice_are_fair(say: Say) -> None:
    """A fixed page of 6,000 sealed dice: nothing odd, and every test was made."""
    for _ in range(60):
        say("dice 100d6")
    reply = say("audit")
    assert set(reply.machine["samples"][0]["tests"]) == {"faces", "runs", "halves", "pairs"}
    assert not reply.machine["odd"]
    assert "nothing here speaks against fair dice" in plain(reply, 200)


def test_declared_dice_are_audited_apart_and_loaded_ones_stand_out(say: Say) -> None:
    say("dice 40d6")
    sixes = " ".join(["6"] * 40)
    own = say(f"roll 40 attacks, hit 6+, S1 into T100, 5 models, no save, W1 with dice {sixes} {sixes}")
    assert own.kind == "attack", plain(own)
    reply = say("audit")
    sealed, declared = reply.machine["samples"]
    assert (sealed["declared"], sealed["dice"]) == (False, 40)
    assert (declared["declared"], declared["counts"]) == (True, [0, 0, 0, 0, 0, 80])
    assert reply.machine["odd"]
    assert "odd: 80 declared dice of 6 faces" in plain(reply, 200)


def test_dice_of_each_kind_are_audited_apart(say: Say) -> None:
    say("dice 40d6")
    say("dice 40d3")
    assert [sample["sides"] for sample in say("audit").machine["samples"]] == [3, 6]


def test_an_audit_is_of_the_newest_page_or_of_all(say: Say) -> None:
    say("dice 40d6")
    say("reveal")
    assert say("audit").machine["pages"] == ["2026-11-25-1"]
    say("dice 30d6")
    assert say("audit").machine["samples"][0]["dice"] == 30
    assert say("audit all").machine["samples"][0]["dice"] == 70


# luck


@pytest.mark.parametrize(
    ("percentile", "said"),
    [
        (0.83, "better than 83 in 100 such attacks"),
        (0.8399, "better than 83 in 100 such attacks"),
        (0.17, "worse than 83 in 100 such attacks"),
        (0.5, "about what such attacks bring"),
        (0.55, "about what such attacks bring"),
        (0.56, "better than 56 in 100 such attacks"),
        (0.989, "better than 98 in 100 such attacks"),
        (0.9925, "better than 992 in 1,000 such attacks"),
        (0.99935, "better than 9,993 in 10,000 such attacks"),
        (0.9999999, "better than 9,999 in 10,000 such attacks"),
        (1.0, "better than 9,999 in 10,000 such attacks"),
        (0.0001, "worse than 9,999 in 10,000 such attacks"),
    ],
)
def test_luck_is_said_in_plain_words_and_never_overstated(percentile: float, said: str) -> None:
    assert luck_line(percentile) == said


def test_luck_of_one_attack_is_its_own_percentile(say: Say) -> None:
    percentile = say(ATTACK).machine["luck"]["percentile"]
    (luck,) = say("luck").machine["lucks"]
    assert (luck["name"], luck["attacks"]) == ("Ann", 1)
    assert luck["percentile"] == pytest.approx(percentile)
    assert luck["expected"] == pytest.approx(5 / 3)
    assert luck_line(percentile) in plain(say("luck"), 200)


def test_the_luck_of_one_attack_is_told_by_its_number_or_of_the_last(say: Say) -> None:
    first, second = (say(ATTACK, who=who).machine["luck"]["percentile"] for who in ("Ann", "Bo"))
    say("dice 2d6")
    (luck,) = say("luck of the last attack").machine["lucks"]
    assert (luck["id"], luck["name"], luck["percentile"]) == (2, "Bo", pytest.approx(second))
    (luck,) = say("luck #1", who="Bo").machine["lucks"]
    assert (luck["id"], luck["name"], luck["percentile"]) == (1, "Ann", pytest.approx(first))
    assert luck_line(first) in plain(say("luck #1"), 200)
    assert say("luck #3").title == "#3 is no attack; luck is reckoned from the damage of attacks"
    assert say("luck #9").title == "there is no #9 here; the last one is #3"


def test_what_is_too_large_to_be_reckoned_is_rolled_all_the_same(say: Say, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("resolver.several.work.MOST_WORK", 1)
    asked_for = "10 attacks, hit 4+, S5 into T4: 2 models, save 3+ then 2 models, save 4+"
    assert "too long" in say(f"odds {asked_for}").title
    rolled = say(f"roll {asked_for}")
    assert rolled.machine["luck"] == {"of": "damage", "percentile": None}
    assert "luck: too large an attack to be reckoned" in plain(say("show #1"), 200)
    assert say("luck #1").title == "#1 is too large an attack to be reckoned"
    assert say("luck").title == "no attack is on record yet"


def test_running_luck_is_told_for_each_person(say: Say) -> None:
    for who in ("Ann", "Ann", "Bo"):
        say(ATTACK, who=who)
    assert [(luck["name"], luck["attacks"]) for luck in say("luck").machine["lucks"]] == [("Ann", 2), ("Bo", 1)]
    assert [luck["name"] for luck in say("luck of Bo").machine["lucks"]] == ["Bo"]


def test_running_luck_is_told_for_each_side_and_leaves_out_what_was_undone(say: Say) -> None:
    for text in ("open table Saltmarsh Wardens against Kiln Guard", "next phase", "next phase"):
        assert say(text).kind == "table"
    say("Wardens shoot Kiln Guard at 14")
    assert [luck["name"] for luck in say("luck").machine["lucks"]] == ["Saltmarsh Wardens"]
    say("undo")
    assert say("luck").machine["lucks"] == []
    assert say("luck of the Kiln Guard").title == "no attack of Kiln Guard is on record yet"


def test_without_attacks_there_is_no_luck(say: Say) -> None:
    assert say("luck").title == "no attack is on record yet"
    assert say("was I lucky?").title == "no attack is on record yet"
