"""Everything that a message may need is loaded before the first one comes, so that nobody waits for it."""

from __future__ import annotations

import gc
import logging
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from bot.app import App
from bot.asked import Asked
from bot.build import storage_at
from bot.desk import Desk
from bot.house import House
from bot.ledger import LedgerError
from bot.reply import Reply

log = logging.getLogger(__name__)

# One of each family; they are answered in a record that is thrown away.
MESSAGES = (
    "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+, W2, 5 models",
    "odds 20 shots, hit 4+, S5 AP-1, damage d3 into T4, save 3+, W2, 10 models",
    "compare 10 shots, hit 4+, S5 into T4, save 3+ or 5 shots, hit 3+, S8 into T4, save 3+",
    "needs save 3+ AP-1",
    "charge 9",
    "advance with M6",
    "dice 3d6",
    "what is AP",
    "can I shoot after advancing?",
    "help",
    "why",
    "log",
    "open table Saltmarsh Wardens against Kiln Guard",
    "where are we",
    "what now",
    "Wardens shoot the Kiln Guard at 14",
    "undo",
    "next phase",
    "open sesame",
)


def warm_up(house: House) -> Iterator[Reply]:
    """Answer a few messages for nobody, one at a step. Without a place for their record the umpire begins cold."""
    try:
        with (
            TemporaryDirectory(prefix="drumhead-") as folder,
            storage_at(str(Path(folder, "warm.db"))) as storage,
            Desk(App(replace(house, storage=storage)).answer, lambda: "warm up", storage.settle) as desk,
        ):
            for number, text in enumerate(MESSAGES):
                yield desk.ask(Asked(text, "nobody", "warm up", f"message {number}"))
    except (OSError, LedgerError) as error:
        log.warning("not warmed up: %s", error)
    freeze()


def freeze() -> None:
    """What is there by now stays, and need not be looked over for garbage again and again."""
    gc.collect()
    gc.freeze()
