"""A record that was tampered with says so, and names the row."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, dice, roll, saying

from bot.ledger import Draft, Entry, Ledger, LedgerError
from bot.reply import Reply


@pytest.fixture
def kept(file: Path) -> Path:
    """A closed record: six entries on one page, two on the next, one in another channel."""
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        ledger.cut(asked(), "the tide is out")
        for _ in range(4):
            roll(ledger)
        ledger.record(asked(who="Bo"), "table", saying("a round begins"))

        def own(draft: Draft) -> Reply:
            draft.declare([6, 6])
            draft.dice(dice(2))
            return Reply("dice", "own")

        ledger.record(asked(), "dice", own)
        ledger.reveal(asked())
        roll(ledger)
        roll(ledger)
        roll(ledger, where="high-ferry")
    return file


def change(file: Path, *statements: str) -> None:
    with closing(sqlite3.connect(file)) as database, database:
        for statement in statements:
            assert database.execute(statement).rowcount > 0, statement


def faults(file: Path) -> list[str]:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        return [fault for page in ledger.check() for fault in page.faults]


def low(id: int) -> str:
    return f"channel = 'low-ferry' AND id = {id}"


def test_a_record_as_it_was_written_has_no_faults(kept: Path) -> None:
    assert faults(kept) == []


def test_the_check_counts_what_it_saw(kept: Path) -> None:
    with Ledger(str(kept), lambda: WHEN, Entropy()) as ledger:
        found = [(page.channel, page.page, page.entries, page.rolls) for page in ledger.check()]
    assert found == [
        ("high-ferry", "2026-11-25-1", 1, 1),
        ("low-ferry", "2026-11-25-1", 6, 5),
        ("low-ferry", "2026-11-25-2", 2, 2),
    ]


@pytest.mark.parametrize("id", [1, 3, 5, 6])
def test_a_removed_row_is_named(kept: Path, id: int) -> None:
    change(kept, f"DELETE FROM entries WHERE {low(id)}")
    assert f"#{id} is missing." in faults(kept)
    assert len(faults(kept)) == 1


def test_a_removed_last_row_of_the_open_page_is_named(kept: Path) -> None:
    change(kept, f"DELETE FROM entries WHERE {low(8)}")
    assert faults(kept) == ["#8 is missing."]


def test_a_removed_end_is_found_even_if_the_page_is_told(kept: Path) -> None:
    change(kept, f"DELETE FROM entries WHERE {low(8)}", "UPDATE pages SET last = 7 WHERE number = 2")
    assert faults(kept) == ["The end of the page does not match its last row, #7."]


COPY = (
    "INSERT INTO entries SELECT channel, {id}, page, kind, who, at, text, read, ruleset, sides, faces,"
    " declared, data, reply, NULL, salts, digests, link FROM entries WHERE channel = 'low-ferry' AND id = 8"
)


def test_an_added_row_is_named(kept: Path) -> None:
    change(kept, COPY.format(id=9))
    assert "#9 was put in: it does not belong to this page." in faults(kept)


def test_an_added_row_is_named_even_if_the_page_is_told(kept: Path) -> None:
    change(kept, COPY.format(id=9), "UPDATE pages SET last = 9 WHERE number = 2")
    assert "#9 was changed or put in: it does not follow from what stands before it." in faults(kept)


def test_a_row_put_in_the_place_of_another_is_named(kept: Path) -> None:
    change(kept, f"DELETE FROM entries WHERE {low(7)}", COPY.format(id=7))
    assert faults(kept)[0] == "#7 was changed or put in: it does not follow from what stands before it."


CHANGED: dict[str, str] = {
    "kind": "'attack'",
    "at": "'2026-11-25T21:00:00+00:00'",
    "ruleset": "'first game'",
    "declared": "NOT declared",
    "event": "'m9'",
    "sides": "'[3,3,3]'",
}


@pytest.mark.parametrize("column", CHANGED)
def test_a_changed_fact_is_found_and_only_its_row_is_named(kept: Path, column: str) -> None:
    change(kept, f"UPDATE entries SET {column} = {CHANGED[column]} WHERE {low(2)}")
    found = faults(kept)
    assert found[0] == "#2 was changed or put in: it does not follow from what stands before it."
    assert all(fault.startswith("#2") for fault in found)


@pytest.mark.parametrize("column", ["who", "text", "read", "data", "reply"])
def test_changed_words_are_found_by_name(kept: Path, column: str) -> None:
    change(kept, f"UPDATE entries SET {column} = replace({column}, 'd', 'x') || ' ' WHERE {low(2)}")
    assert faults(kept) == [f"#2 was changed: its {column} is not what was written."]


def test_a_changed_face_is_found_by_the_chain_and_by_the_seal(kept: Path) -> None:
    with Ledger(str(kept), lambda: WHEN, Entropy()) as ledger:
        entry = ledger.entry("low-ferry", 2)
    assert entry is not None
    changed = [entry.faces[0] % 6 + 1, *entry.faces[1:]]
    change(kept, f"UPDATE entries SET faces = '{changed}' WHERE {low(2)}")
    chain, seal = faults(kept)
    assert chain == "#2 was changed or put in: it does not follow from what stands before it."
    assert seal == f"#2: die 1 shows {changed[0]}, but the sealed dice give {entry.faces[0]}."


def test_a_face_changed_with_its_whole_chain_is_still_found_by_the_seal(kept: Path) -> None:
    """Whoever rewrites every link as well still cannot bend a die: the secret was committed to."""
    from bot.ledger.chain import link

    change(kept, f"UPDATE entries SET faces = '[6,6,6]' WHERE {low(8)}")
    with closing(sqlite3.connect(kept)) as database:
        database.row_factory = sqlite3.Row
        before, row = database.execute("SELECT * FROM entries WHERE id IN (7, 8) ORDER BY id").fetchall()
        head = link(before["link"], {**row, "declared": bool(row["declared"])}, [])
    change(
        kept,
        f"UPDATE entries SET link = '{head}' WHERE {low(8)}",
        f"UPDATE pages SET head = '{head}' WHERE number = 2",
    )
    assert [fault.split(",")[0] for fault in faults(kept)] in ([f"#8: die {die} shows 6"] for die in (1, 2, 3))


def test_a_changed_cut_is_found(kept: Path) -> None:
    change(kept, "UPDATE cuts SET words = 'the tide is in'")
    found = faults(kept)
    assert "#1 was changed or put in: it does not follow from what stands before it." in found
    assert any("the sealed dice give" in fault for fault in found)


def test_another_secret_is_found(kept: Path) -> None:
    change(kept, f"UPDATE pages SET secret = '{'00' * 32}' WHERE channel = 'high-ferry'")
    assert faults(kept)[0] == "The secret of the page is not the one that was committed to."


def test_a_row_that_moved_to_a_missing_page_is_named(kept: Path) -> None:
    change(kept, f"UPDATE entries SET page = 'nowhere' WHERE {low(2)}")
    assert "#2 stands on a page that is missing." in faults(kept)


def test_a_missing_page_is_noticed(kept: Path) -> None:
    with closing(sqlite3.connect(kept)) as database, database:
        database.execute("DELETE FROM cuts")
        database.execute("DELETE FROM entries WHERE channel = 'low-ferry' AND id <= 6")
        database.execute("DELETE FROM pages WHERE channel = 'low-ferry' AND number = 1")
    assert faults(kept) == ["The channel begins at #7: what stood before it is missing."]


def test_a_page_missing_in_between_is_noticed(kept: Path) -> None:
    with Ledger(str(kept), lambda: WHEN, Entropy()) as ledger:
        ledger.reveal(asked())
        roll(ledger)
    with closing(sqlite3.connect(kept)) as database, database:
        database.execute("DELETE FROM entries WHERE channel = 'low-ferry' AND id IN (7, 8)")
        database.execute("DELETE FROM pages WHERE channel = 'low-ferry' AND number = 2")
    assert faults(kept) == ["The page begins at #9, but the page before it ends at #6."]


UNREADABLE = {
    "salts": "'{'",
    "digests": "'[]'",
    "faces": "'six'",
    "sides": "'[0]'",
}


@pytest.mark.parametrize("column", UNREADABLE)
def test_a_row_that_cannot_be_read_is_named(kept: Path, column: str) -> None:
    change(kept, f"UPDATE entries SET {column} = {UNREADABLE[column]} WHERE {low(2)}")
    found = faults(kept)
    assert found
    assert all(fault.startswith("#2") for fault in found)


def answer_of(entry: Entry | None) -> Reply:
    assert entry is not None
    return entry.reply


@pytest.mark.parametrize(("column", "value"), [("reply", "{}"), ("data", "{"), ("at", "noon"), ("reply", "[7]")])
def test_a_damaged_row_is_complained_of_when_it_is_read(kept: Path, column: str, value: str) -> None:
    change(kept, f"UPDATE entries SET {column} = '{value}' WHERE {low(2)}")
    with Ledger(str(kept), lambda: WHEN, Entropy()) as ledger:
        with pytest.raises(LedgerError, match=r"#2 of the record is damaged.*`drumhead check`.*backup"):
            answer_of(ledger.entry("low-ferry", 2))
        assert answer_of(ledger.entry("low-ferry", 3)).kind == "dice"
        assert roll(ledger).machine["id"] == 9


@pytest.mark.parametrize("value", ["", "{}", "[]", '{"kind": "dice", "blocks": [{"block": "hologram"}]}'])
def test_a_message_whose_answer_is_damaged_is_not_rolled_again(file: Path, value: str) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        roll(ledger, event="m1")
        change(file, f"UPDATE entries SET reply = '{value}' WHERE {low(1)}")
        for again in (lambda: roll(ledger, event="m1"), lambda: ledger.recorded("low-ferry", "m1")):
            with pytest.raises(LedgerError, match="answered before, but the recorded answer is damaged"):
                again()
        assert roll(ledger, event="m2").machine["id"] == 2


def test_a_check_while_others_roll_finds_no_faults(file: Path) -> None:
    """A check sees the record of one moment, not a page of now with rows of later."""
    with (
        Ledger(str(file), lambda: WHEN, Entropy()) as rolled,
        Ledger(str(file), lambda: WHEN, Entropy()) as checked,
    ):
        busy = threading.Thread(target=lambda: [roll(rolled) for _ in range(60)])
        busy.start()
        checks = 0
        while busy.is_alive() or checks < 3:
            assert [page.faults for page in checked.check()] in ([], [()])
            checks += 1
        busy.join()
        assert len(checked.entries("low-ferry")) == 60


def test_the_faults_of_one_entry_can_be_asked_for(kept: Path) -> None:
    change(kept, f"UPDATE entries SET text = 'roll better' WHERE {low(2)}")
    with Ledger(str(kept), lambda: WHEN, Entropy()) as ledger:
        assert ledger.faults("low-ferry", 2) == ["#2 was changed: its text is not what was written."]
        assert ledger.faults("low-ferry", 3) == []
