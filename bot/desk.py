"""The desk: one worker through which every message passes, so that the ledger sees them one after the other.

A bug in an answer becomes an apology with a reference here; the trace goes to the log.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, wait

from bot.app import apology, trouble
from bot.asked import Asked
from bot.closing import Closing
from bot.ledger import LedgerError
from bot.reply import Reply

Answer = Callable[[Asked], Reply]


class Desk(Closing):
    """Answers in the order of asking.

    `settle` waits until what was recorded is on the disk; no reply leaves before.
    """

    def __init__(self, answer: Answer, reference: Callable[[], str], settle: Callable[[], None]) -> None:
        self._answer = answer
        self._settle = settle
        self._reference = reference
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="drumhead")

    def close(self) -> None:
        """Finish what is being answered and take no more."""
        self._worker.shutdown(wait=True)

    def ask(self, asked: Asked) -> Reply:
        """The reply, waited for."""
        return self.settled(self.ask_together([asked]))[0]

    def ask_together(self, several: Sequence[Asked]) -> list[Reply]:
        """The replies in their order; they may be shown once they have gone through `settled`."""
        coming = [self._worker.submit(self._answer, asked) for asked in several]
        wait(coming)  # woken once, not at every reply: the worker keeps its processor
        return [self._reply(future) for future in coming]

    def settled(self, replies: list[Reply]) -> list[Reply]:
        """The replies, now that all that they tell is on the disk."""
        try:
            self._settle()
        except LedgerError as error:
            return [trouble(error)] * len(replies)
        return replies

    def _reply(self, coming: Future[Reply]) -> Reply:
        error = coming.exception()
        return coming.result() if error is None else apology(error, self._reference())
