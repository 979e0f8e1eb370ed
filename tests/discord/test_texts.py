"""Small texts: slash options as messages, mentions as names, offers as ids and back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.discord_listening import with_roster, words
from bot.channels.discord_marks import spelled_out
from bot.channels.discord_offers import Act, Offer, Shelf, exactly, offers_of
from bot.channels.discord_slash_text import AttackOptions, asks, charge_message, needs_message, opened
from bot.channels.discord_views import filled_in, form_of, pressed, view_of
from bot.differing import briefly, cut, cut_within
from bot.ledger import Ledger
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.opening import opens
from bot.reply import Reply
from tests.conversation import Clock, secret
from tests.discord.conftest import shelf
from tests.references import discord_limits as limits

CONTEXT = Context(shelf()[0]["standard"], units=("Wardens", "Kiln Guard"))

# options


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (AttackOptions(), "roll"),
        (AttackOptions(attack="10 shots into T4"), "roll 10 shots into T4"),
        (AttackOptions(attack="10 shots", hit=4, toughness=4, save=3), "roll 10 shots, hit 4+ into T4, save 3+"),
        (AttackOptions(attack="10 shots into T4", hit=4, save=3), "roll 10 shots into T4, hit 4+, save 3+"),
        (AttackOptions(attacks="2d6", strength=5, ap=0, damage="d3"), "roll 2d6 attacks, S5, AP-0, damage d3"),
        (AttackOptions(attacks="3", wounds=2, models=5, dice="6 4"), "roll 3 attacks into W2, 5 models with dice 6 4"),
    ],
)
def test_typed_options_say_what_a_player_would_type(options: AttackOptions, message: str) -> None:
    assert options.message("roll") == message


NUMBERS = st.none() | st.integers(2, 6)


@given(NUMBERS, NUMBERS, NUMBERS, NUMBERS, NUMBERS)
def test_typed_options_are_always_read_or_asked_about(
    hit: int | None, strength: int | None, toughness: int | None, save: int | None, models: int | None
) -> None:
    options = AttackOptions(
        attacks="10", hit=hit, strength=strength, toughness=toughness, save=save, models=models
    )
    complaint: Misread | None = None
    try:
        read(options.message("odds"), CONTEXT)
    except Misread as misread:
        complaint = misread
    assert complaint is None or complaint.missing is not None, complaint.message


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (needs_message("what does S5 need against T4", None, None, None, None), "what does S5 need against T4"),
        (needs_message("hit 4+", None, None, None, None), "needs hit 4+"),
        (needs_message(None, 5, 4, None, None), "needs S5, T4"),
        (needs_message(None, 5, 4, 3, 1), "needs S5, T4, save 3+, AP-1"),
        (needs_message("save 3+", None, None, None, 2), "needs save 3+, AP-2"),
        (needs_message("what does S5 need against T4?", None, 8, None, None), "what does S5 need against T4, T8"),
        (charge_message(9, None, False), "charge needing 9"),
        (charge_message(9, None, True), "roll charge needing 9"),
        (charge_message(None, 6.5, False), "charge from 6.5"),
        (charge_message(None, None, False), "charge"),
        (charge_message(None, None, True), "roll charge from"),
        (opened("What is AP", "what is"), "What is AP"),
        (opened("AP", "what is"), "what is AP"),
    ],
)
def test_short_commands_say_what_a_player_would_type(made: str, message: str) -> None:
    assert made == message


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("where are we", True),
        ("what now", True),
        ("can the Wardens shoot", True),
        ("Wardens in range?", True),
        ("Wardens shoot the Kiln Guard at 14", False),
        ("roll 3 shots", False),
        ("next phase", False),
        ("sit with Kiln Guard", False),
    ],
)
def test_a_question_is_told_from_a_deed(text: str, question: bool) -> None:
    assert asks(text) is question


# messages


@pytest.mark.parametrize(
    ("content", "text"),
    [
        ("<@9> charge 9", "charge 9"),
        ("<@!9>, charge 9", "charge 9"),
        ("charge 9 <@9>", "charge 9"),
        ("<@9> seat <@5> with Kiln Guard", "seat A_d_a with Kiln Guard"),
        ("<@9> seat <@6> with Kiln Guard", "seat <@6> with Kiln Guard"),
        ("<@9> `charge 9`", "charge 9"),
        ("<@9> ```\ncharge 9\n```", "charge 9"),
        ("<@9>", ""),
        ("<@9> **roll 10 shots**", "roll 10 shots"),
        ("**<@9> roll** 10 *shots*, __hit__ 4+", "roll 10 shots, hit 4+"),
        ("<@9> ||***roll*** 10|| ~~_shots_~~", "roll 10 shots"),
        ("<@9> *roll\n10*", "roll\n10"),
        ("<@9> dice 2*3 low_ferry_x * 4 * 5", "dice 2*3 low_ferry_x * 4 * 5"),
        (r"<@9> \*roll\* 10", r"\*roll\* 10"),
        ("<@9> `*roll*`", "*roll*"),
        ("<@9> *", "*"),
        ("<@9> seat <@5> with **Kiln Guard**", "seat A_d_a with Kiln Guard"),
        ("<@9> /roll 10 shots", "roll 10 shots"),
        ("<@9> /roll-off", "roll off"),
        ("<@9> </what-is:7> AP", "what is AP"),
        ("<@9> 10 / 2", "10 / 2"),
        ("<@9> /9", "/9"),
        ("<@9> dice 2d6 <:skull:12><a:horn:7>", "dice 2d6"),
        ("<@9> <:dice:12>", ""),
    ],
)
def test_the_words_of_a_message_are_read_without_the_marks_of_the_chat(content: str, text: str) -> None:
    assert words(spelled_out(content, None), 9, {5: "A_d_a"}) == text


def test_a_file_follows_the_words_it_came_with() -> None:
    assert with_roster("", b"side: A", "a\nb.yaml") == "roster\n# a b.yaml\nside: A"
    assert with_roster("for A", b"side: A\xff", "b.txt") == "for A\n# b.txt\nside: A\N{REPLACEMENT CHARACTER}"


@pytest.mark.parametrize(
    "text",
    [
        "roll 3 shots, hit 4+, wound 3+, no save", "attack 3 shots, hit 4+, wound 3+, no save", "charge 9", "dice 2d6",
        "Wardens shoot the Kiln Guard at 14", "the Wardens shoot the Kiln Guard at 14", "needs save 3+ AP-1",
        "next phase",
    ],
)  # fmt: skip
def test_a_message_that_opens_with_a_verb_or_a_unit_and_reads_whole_is_acted_on(text: str) -> None:
    assert opens(text, CONTEXT)


@pytest.mark.parametrize(
    "text",
    [
        "", "lol", "roll", "roll up", "roll 3 shots", "3 shots, hit 4+, wound 3+, no save", "I charge 9 of them",
        "so, charge 9 it is then", "the Wardens look great", "yes", "5+", "nice roll!", "one moment",
    ],
)  # fmt: skip
def test_table_talk_is_not(text: str) -> None:
    assert not opens(text, CONTEXT)


def test_what_was_left_open_before_plays_no_part_in_table_talk() -> None:
    left = {"pending": "roll 10 shots hitting on 4s, into T4 3+ save", "missing": "strength", "last": "odds 1 attack"}
    context = Context(CONTEXT.ruleset, memory={**left, "choices": ["charge 9"]})
    assert not any(opens(text, context) for text in ("S5", "5", "1", "yes", "roll it"))


@given(st.text(max_size=60))
def test_no_plain_message_whatever_stops_the_listening(text: str) -> None:
    try:
        read(text, CONTEXT)
    except (Misread, Unsure):
        assert not opens(text, CONTEXT)


# offers


@pytest.fixture
def offers_kept(tmp_path: Path) -> Iterator[Shelf]:
    with Ledger(str(tmp_path / "ledger.db"), Clock(), secret) as opened_:
        yield Shelf(opened_.memory)


@pytest.mark.parametrize("text", ["why #1", "x" * 96, "x" * 97, "roll " + "1 attack plus " * 100, "ünïcödé " * 20])
@pytest.mark.parametrize("act", list(Act))
def test_an_offer_comes_back_from_its_id(offers_kept: Shelf, text: str, act: Act) -> None:
    id = offers_kept.id_of("here", Offer("a label", text, act))
    assert len(id) <= limits.CUSTOM_ID
    found = offers_kept.offer("here", id)
    assert found is not None
    assert (found.text, found.act) == (text, act)


def test_roll_it_is_spelt_out_beside_the_odds_it_belongs_to() -> None:
    reply = Reply("odds", "odds 3 attacks", data={"read": "odds 3 attacks"}, offers=("roll it",))
    assert exactly(reply, "roll it") == "roll 3 attacks"
    assert exactly(Reply("x", ""), "what now") == "what now"
    compared = Reply("compare", "", data={"rolls": ["roll 3 attacks", "roll 4 attacks"]}, offers=("roll A", "roll B"))
    assert [exactly(compared, offer) for offer in compared.offers] == ["roll 3 attacks", "roll 4 attacks"]


def test_buttons_are_few_and_what_was_just_asked_is_not_among_them() -> None:
    reply = Reply("table", "", data={"id": 4, "state": {"open": True}}, offers=("a", "b", "what now", "c"))
    assert [offer.label for offer in offers_of(reply)] == ["a", "b", "what now", "c", "undo"]
    assert [offer.label for offer in offers_of(reply, "what now")] == ["a", "b", "c", "undo"]


@pytest.mark.parametrize(
    ("text", "once"),
    [
        ("roll 3 attacks", True), ("next phase", True), ("undo #3", True),
        ("Wardens shoot Kiln Guard at 14 anyway", True),
        ("sit with Kiln Guard", False), ("what now", False), ("why #3", False),
    ],
)  # fmt: skip
def test_what_must_not_happen_twice_is_known(text: str, once: bool) -> None:
    assert Offer("", text).once is once


def test_a_form_is_read_however_its_fields_are_nested() -> None:
    field = {"type": 4, "custom_id": "words", "value": " 6 4\n4 "}
    assert filled_in({"components": [{"type": 1, "components": [field]}]}) == "6 4 4"
    assert filled_in({"components": [{"type": 18, "component": field}]}) == "6 4 4"
    assert filled_in({}) == ""


def test_what_was_pressed_or_picked_is_its_id() -> None:
    assert pressed({"custom_id": "say:a"}) == "say:a"
    assert pressed({"custom_id": "pick", "values": ["say:b"]}) == "say:b"


def test_a_form_whose_label_is_cut_says_the_whole_below_it() -> None:
    asked = "To wound (4 models: fire tube): pick up 6 dice."
    [label] = form_of(Offer("answer", asked, Act.TELL), "tell:x").to_dict()["components"]
    assert (label["label"], label["description"]) == ("To wound (4 models: fire tube): pick up 6…", asked)


def test_a_long_label_is_cut_and_shows_it() -> None:
    assert cut("a  b\nc", 10) == "a b c"
    assert cut("x" * 100, 80) == "x" * 79 + "…"
    assert cut("To hit: pick up 6 dice.", 20) == "To hit: pick up 6…"
    assert cut("To hit: pick up 16", 16) == "To hit: pick up…"


def test_a_long_button_keeps_its_end_where_the_weapon_and_anyway_stand() -> None:
    said = f"{LONG} shoot the Ember Crew at 14 with punt gun anyway"
    view = view_of([(Offer(said, said), "say:x")])
    assert view is not None
    [row] = view.to_components()
    [button] = row["components"]
    assert len(button["label"]) <= limits.BUTTON_LABEL
    assert button["label"].startswith("Saltmarsh Wardens of the Long Causeway")
    assert button["label"].endswith("with punt gun anyway")
    assert cut_within("x" * 100, 80) == cut("x" * 100, 80)


ROSTER = "\nBeta Guard: M5 T5 plus Beta Guard: 5 models W3 save 2+, hammer A3 WS3+ S6 AP-1 damage 2"
LONG = "Saltmarsh Wardens of the Long Causeway over the Ford at Low Ferry"
TARGET = "hit 4+, S4, damage 1 into T4, save 3+, W1"


@pytest.mark.parametrize(
    ("choices", "labels"),
    [
        (("what is cover", "what is charge"), ("what is cover", "what is charge")),
        ((f"roster for Reds{ROSTER}", f"roster for Blues{ROSTER}"), ("roster for Reds", "roster for Blues")),
        (
            (f"odds 5 models with 10 attacks each, {TARGET}", f"odds 10 attacks, {TARGET}"),
            ("odds 5 models with 10 attacks each …", "odds 10 attacks …"),
        ),
        (
            (f"odds 9 attacks, range 30, at 14, {TARGET}", f"odds 9 attacks, range 30, at 14, {TARGET}, cover"),
            ("… 3+, W1", "… 3+, W1, cover"),
        ),
        (
            (f"odds 9 attacks, range 30, at 14, {TARGET} anyway",),
            ("odds 9 attacks, range 30, at 14, hit 4+, S4, damage… T4, save 3+, W1 anyway",),
        ),
        (
            ("Wardens shoot Kiln Guard at 14 with punt gun anyway", "Reed Runners shoot Ember Crew at 10 anyway"),
            ("Wardens shoot Kiln Guard at 14 with punt gun anyway", "Reed Runners shoot Ember Crew at 10 anyway"),
        ),
        (
            (f"{LONG} shoot the Kiln Guard at 14 with punt gun", f"{LONG} shoot the Kiln Guard at 14 with rifles"),
            ("… with punt gun", "… with rifles"),
        ),
        (
            (f"{LONG} shoot the Kiln Guard at 14 with rifle anyway", f"{LONG} shoot the Crew at 14 with rifle anyway"),
            ("… the Kiln Guard … anyway", "… the Crew … anyway"),
        ),
    ],
)
def test_of_long_choices_the_label_shows_what_differs(choices: tuple[str, ...], labels: tuple[str, ...]) -> None:
    reply = Reply("choice", "which?", offers=choices)
    assert [offer.label for offer in offers_of(reply)] == [f"{i}. {label}" for i, label in enumerate(labels, 1)]
    assert [offer.text for offer in offers_of(reply)] == list(choices)


@given(st.lists(st.text("ab ,\n", max_size=30), min_size=1, max_size=4), st.integers(5, 40))
def test_a_label_is_never_too_long(choices: list[str], most: int) -> None:
    labels = briefly(choices, most)
    assert len(labels) == len(choices)
    assert all(len(label) <= most and "\n" not in label for label in labels)
