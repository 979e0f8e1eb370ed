"""How fast the record is: one roll written, then on the disk, one message recalled, a page verified."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from bot import verify
from bot.asked import Asked
from bot.ledger import Draft, Ledger
from bot.reply import Reply
from resolver.fairness import running_luck
from resolver.live import Throw
from resolver.sealed import Stream

HERE = "low-ferry"


def twenty_dice(draft: Draft) -> Reply:
    faces = list(draft.dice(Throw(step="dice", sides=6, count=20)))
    return Reply("dice", "twenty dice", (), {"id": draft.id, "faces": faces})


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    with Ledger(str(tmp_path / "record.db"), lambda: datetime.now(UTC), os.urandom) as ledger:
        for _ in range(300):
            ledger.record(Asked("dice 20d6", "Ann", HERE), "dice", twenty_dice)
        yield ledger


def test_a_roll_is_written(benchmark: Any, ledger: Ledger) -> None:
    benchmark(lambda: ledger.record(Asked("dice 20d6", "Ann", HERE), "dice", twenty_dice))


def test_a_roll_is_written_and_on_the_disk(benchmark: Any, ledger: Ledger) -> None:
    def shown() -> None:
        ledger.record(Asked("dice 20d6", "Ann", HERE), "dice", twenty_dice)
        ledger.settle()

    benchmark(shown)


def test_what_was_said_is_recalled(benchmark: Any, ledger: Ledger) -> None:
    ledger.memory.remember(HERE, "Ann", {"last": "dice 20d6"})
    benchmark(lambda: ledger.memory.recall(HERE, "Ann"))


def test_the_last_ten_entries_are_read(benchmark: Any, ledger: Ledger) -> None:
    assert len(benchmark(lambda: ledger.entries(HERE, last=10))) == 10


def test_a_record_of_300_rolls_is_checked(benchmark: Any, ledger: Ledger) -> None:
    assert benchmark(ledger.check)[0].faults == ()


def test_a_page_of_300_rolls_is_verified(benchmark: Any, ledger: Ledger) -> None:
    ledger.reveal(Asked("reveal", "Ann", HERE))
    page = ledger.export(HERE)
    assert benchmark(lambda: verify.verify(page)).startswith("Verified.")


def test_a_thousand_faces_are_drawn(benchmark: Any) -> None:
    throw = Throw(step="dice", sides=6, count=1000)
    assert len(benchmark(lambda: Stream(bytes(32), 1)(throw))) == 1000


def test_the_luck_of_fifty_attacks_is_reckoned(benchmark: Any) -> None:
    import numpy as np

    law = np.full(30, 1 / 30)
    assert 0 < benchmark(lambda: running_luck([(law, 17)] * 50)) < 1
