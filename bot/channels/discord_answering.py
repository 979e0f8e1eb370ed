"""What the process that answers begins with. It talks with nobody, so the chat's library is not loaded for it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

from bot.app import App
from bot.channels.discord_logs import log_to
from bot.desk import Desk
from bot.house import House
from bot.settings import Settings
from bot.warm_up import warm_up

Opened = Callable[[Settings], AbstractContextManager[House]]


@contextmanager
def answerer(opened: Opened, settings: Settings, level: str, token: str) -> Iterator[tuple[Desk, Iterator[object]]]:
    """The desk, and its getting ready, in the process that it has to itself."""
    log_to(sys.stderr, level, (token,))
    with opened(settings) as house, Desk(App(house).answer, reference, house.storage.settle) as desk:
        yield desk, warm_up(house)


def reference() -> str:
    """A few letters by which an apology is found in the log."""
    return os.urandom(4).hex()
