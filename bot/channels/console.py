"""The console channel: messages from a terminal or a pipe, replies painted as text; colour only as an extra."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TextIO

from bot.asked import Asked
from bot.channels.paint import Tone, paint
from bot.reply import Reply

Answer = Callable[[Asked], Reply]

GREETING = """\
Drumhead, the umpire at your table. Three messages worth typing:
  roll 10 shots hitting on 4s, S5 AP-1, into T4 3+ save, 2 wounds each
  what is AP
  charge 9
`help` lists the rest; `quit` leaves."""

# What the Tab key completes at the start of a message.
OPENINGS = [
    "advance", "audit", "can I", "charge", "charge from", "compare", "cut", "dice", "help", "log", "needs", "odds",
    "page", "phase", "reach from", "reveal", "roll", "roll it", "roll off", "show #", "what is", "what now", "why",
]  # fmt: skip

LEAVE = frozenset({"quit", "exit", "bye"})
STYLES = {Tone.TITLE: "bold cyan", Tone.STRONG: "bold", Tone.PLAIN: "", Tone.QUIET: "dim"}
NARROWEST, WIDEST = 20, 100


def run(answer: Answer, players: Sequence[str], where: str, history: Path) -> None:
    """Talk until the players leave or the input ends. The first player speaks where no name stands before a message:
    "Ben: what now" is Ben's, if Ben is one of several `players`. Whoever sits at the keyboard is the moderator.
    """
    on_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    print(GREETING, flush=True)
    for message in _prompted(history) if on_terminal else _piped(sys.stdin):
        who, text = speaker(message.strip(), players)
        if text.lower() in LEAVE:
            break
        if text:
            show(answer(Asked(text=text, who=who, where=where, moderator=who == players[0])))


def speaker(message: str, players: Sequence[str]) -> tuple[str, str]:
    """Who says a message, and what is said."""
    name, colon, rest = message.partition(": ")
    for player in players if colon and len(players) > 1 else ():
        if name.lower() == player.lower():
            return player, rest.strip()
    return players[0], message


def _piped(stream: TextIO) -> Iterator[str]:
    """Messages from a pipe, each shown before its answer so that the output reads as a conversation."""
    for line in stream:
        if line.strip():
            print(f"\n> {line.strip()}", flush=True)
        yield line


def _prompted(history: Path) -> Iterator[str]:
    """Messages typed at a terminal, with line editing, history and completion."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter
    from prompt_toolkit.history import FileHistory

    history.parent.mkdir(parents=True, exist_ok=True)
    completer = WordCompleter(OPENINGS, ignore_case=True, sentence=True)
    session: PromptSession[str] = PromptSession(history=FileHistory(str(history)), complete_while_typing=False)
    while True:
        try:
            yield session.prompt("\n> ", completer=completer)
        except KeyboardInterrupt:
            continue
        except EOFError:
            return


def show(reply: Reply) -> None:
    """Paint one reply on standard output, in colour only on a terminal that wants it."""
    rows = paint(reply, screen_width())
    if _colour():
        from rich.console import Console
        from rich.text import Text

        console = Console(highlight=False, soft_wrap=True)
        for tone, text in rows:
            console.print(Text(text, style=STYLES[tone]))
    else:
        print("\n".join(text for _, text in rows))
    sys.stdout.flush()


def screen_width() -> int:
    """The columns of the terminal, or of COLUMNS, within what is readable."""
    columns = shutil.get_terminal_size((80, 24)).columns
    return max(NARROWEST, min(columns, WIDEST))


def _colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
