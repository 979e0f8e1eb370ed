"""Pages: opened for good, cut before the first roll, closed by revealing, exported for anyone."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime

import pytest
from recording import asked, dice, roll, saying

from bot.ledger import Draft, Ledger, LedgerError
from bot.reply import Reply
from resolver.refused import Refused

KEYS_OF_A_PAGE = {"format", "page", "commitment", "secret", "cuts", "rolls"}
KEYS_OF_A_ROLL = {"id", "sides", "faces", "declared", "who", "when", "text", "ruleset"}


def test_a_page_is_opened_once_and_kept(ledger: Ledger) -> None:
    page = ledger.page("low-ferry")
    assert (page.id, page.number, page.rolls, page.cuts) == ("2026-11-25-1", 1, 0, ())
    assert page.opened == datetime(2026, 11, 25, 20, tzinfo=UTC)
    assert page.secret is None
    assert page.closed is None
    assert ledger.page("low-ferry") == page


def test_every_channel_has_its_own_secret(ledger: Ledger) -> None:
    assert ledger.page("low-ferry").commitment != ledger.page("high-ferry").commitment


def test_a_page_counts_rolls_and_not_words(ledger: Ledger) -> None:
    ledger.record(asked(), "table", saying("a round begins"))
    roll(ledger)
    assert ledger.page("low-ferry").rolls == 1


def test_each_player_may_cut_once(ledger: Ledger) -> None:
    ledger.cut(asked(who="Ann"), "the tide is out")
    assert ledger.cut(asked(who="Bo"), "wind in the reeds").cuts == ("the tide is out", "wind in the reeds")
    with pytest.raises(Refused, match="already; you can cut again on the next one"):
        ledger.cut(asked(who="Ann"), "once more")
    assert len(ledger.page("low-ferry").cuts) == 2


def test_a_page_that_was_rolled_on_cannot_be_cut(ledger: Ledger) -> None:
    roll(ledger)
    with pytest.raises(Refused, match="`reveal` opens the next page"):
        ledger.cut(asked(), "too late")
    ledger.reveal(asked())
    assert ledger.cut(asked(), "in time").cuts == ("in time",)


def test_words_without_dice_leave_the_page_open_to_cuts(ledger: Ledger) -> None:
    ledger.record(asked(), "table", saying("a round begins"))
    assert ledger.cut(asked(), "in time").cuts == ("in time",)
    assert ledger.check()[0].faults == ()


def test_a_cut_delivered_twice_cuts_once(ledger: Ledger) -> None:
    first = ledger.cut(asked(event="m1"), "the tide is out")
    roll(ledger)
    again = ledger.cut(asked(event="m1"), "the tide is out")
    assert again.cuts == first.cuts == ("the tide is out",)


def test_a_bad_cut_changes_nothing(ledger: Ledger) -> None:
    with pytest.raises(Refused):
        ledger.cut(asked(), "two\nlines")
    assert ledger.page("low-ferry").cuts == ()


def test_cuts_change_the_dice(ledger: Ledger) -> None:
    """Both channels get the secret that their page drew; the same roll with and without a cut differs."""
    secret_faces = []
    for where in ("one", "other"):
        if where == "other":
            ledger.cut(asked(where=where), "the tide is out")
        secret_faces.append(roll(ledger, 30, where=where).machine["faces"])
    page = ledger.reveal(asked(where="other"))
    assert page.cuts == ("the tide is out",)
    assert secret_faces[0] != secret_faces[1]


def test_revealing_closes_a_page_and_opens_the_next(ledger: Ledger) -> None:
    before = ledger.page("low-ferry")
    roll(ledger)
    closed = ledger.reveal(asked())
    assert closed.id == before.id
    assert closed.closed is not None
    assert hashlib.sha256(bytes.fromhex(closed.secret or "")).hexdigest() == before.commitment
    after = ledger.page("low-ferry")
    assert (after.id, after.number, after.secret) == ("2026-11-25-2", 2, None)
    assert after.commitment != before.commitment
    assert [page.id for page in ledger.pages("low-ferry")] == [closed.id, after.id]


def test_numbers_go_on_over_pages(ledger: Ledger) -> None:
    roll(ledger)
    ledger.reveal(asked())
    assert roll(ledger).machine["id"] == 2
    first, second = ledger.pages("low-ferry")
    assert [entry["id"] for entry in ledger.export("low-ferry", first.id)["rolls"]] == [1]
    assert [entry["id"] for entry in ledger.export("low-ferry", second.id)["rolls"]] == [2]


def test_a_reveal_delivered_twice_closes_one_page(ledger: Ledger) -> None:
    roll(ledger)
    first = ledger.reveal(asked(event="m1"))
    assert ledger.reveal(asked(event="m1")) == first
    assert len(ledger.pages("low-ferry")) == 2


def test_pages_may_be_revealed_before_anyone_rolled(ledger: Ledger) -> None:
    for number in (1, 2, 3):
        assert ledger.reveal(asked()).number == number
    assert roll(ledger).machine["id"] == 1
    assert [checked.faults for checked in ledger.check()] == [()] * 4


def test_an_exported_page_has_the_keys_that_others_rely_on(ledger: Ledger) -> None:
    ledger.cut(asked(), "the tide is out")
    roll(ledger, text="three dice")
    ledger.record(asked(who="Bo"), "table", saying("a round begins"))

    def own(draft: Draft) -> Reply:
        draft.declare([6, 2])
        draft.dice(dice(1))
        draft.dice(dice(1, 3))
        return Reply("dice", "own")

    ledger.record(asked(), "dice", own)
    page = ledger.export("low-ferry")
    assert set(page) == KEYS_OF_A_PAGE
    assert (page["format"], page["cuts"], page["secret"]) == ("drumhead page 1", ["the tide is out"], None)
    assert [set(entry) for entry in page["rolls"]] == [KEYS_OF_A_ROLL] * 3
    rolled, said, declared = page["rolls"]
    assert (rolled["who"], rolled["text"], rolled["ruleset"]) == ("Ann", "three dice", "standard")
    assert (rolled["sides"], rolled["declared"], len(rolled["faces"])) == ([6, 6, 6], False, 3)
    assert datetime.fromisoformat(rolled["when"]) == datetime(2026, 11, 25, 20, tzinfo=UTC)
    assert (said["sides"], said["faces"]) == ([], [])
    assert (declared["sides"], declared["faces"], declared["declared"]) == ([6, 3], [6, 2], True)


def test_without_a_page_the_newest_with_anything_on_it_is_exported(ledger: Ledger) -> None:
    assert ledger.page("low-ferry").id == ledger.export("low-ferry")["page"]
    roll(ledger)
    closed = ledger.reveal(asked())
    assert ledger.export("low-ferry")["page"] == closed.id
    ledger.cut(asked(), "the tide is out")
    assert ledger.export("low-ferry")["page"] == "2026-11-25-2"


@pytest.mark.parametrize("page", [None, "2026-11-25-9"])
def test_a_page_that_is_not_there_is_complained_of(ledger: Ledger, page: str | None) -> None:
    with pytest.raises(LedgerError, match="Channel nowhere has no page"):
        ledger.export("nowhere", page)


def test_the_complaint_names_the_pages_that_are_there(ledger: Ledger) -> None:
    ledger.page("low-ferry")
    with pytest.raises(LedgerError, match="Its pages: 2026-11-25-1"):
        ledger.export("low-ferry", "2026-11-25-9")
