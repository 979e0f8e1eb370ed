"""The composition root: settings, content, ledger, one channel. Nobody imports this."""

from __future__ import annotations

import argparse
import io
import logging
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from bot.app import App
from bot.asked import Asked
from bot.build import house_at, house_of, storage_at
from bot.channels import console, machine
from bot.content import ContentError
from bot.desk import Desk
from bot.house import DEFAULT_RULESET
from bot.ledger import LedgerError, Storage
from bot.misread import Misread

_STATUS = {"misread": 2, "choice": 2, "trouble": 1}  # of a single message; otherwise 0


def main(argv: list[str] | None = None) -> int:
    """Run one command of `drumhead` and return its exit status."""
    options = _parser().parse_args(argv)
    _speak_utf8()
    if options.run is not _discord:  # a service logs to standard error
        _log_to_a_file()
    try:
        status: int = options.run(options)
    except (LedgerError, ContentError, Misread, OSError) as error:
        print(f"drumhead: {error}", file=sys.stderr)
        return 1
    return status


def _speak_utf8() -> None:
    """Whatever the locale, and whatever bytes come in: nothing typed may stop the umpire."""
    for stream, errors in ((sys.stdin, "replace"), (sys.stdout, "backslashreplace")):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors=errors)


def _log_to_a_file() -> None:
    """Traces go to a file of the host, which is made when something is logged, and not into the conversation.

    Where no such file can be, they go to standard error, and that is said: better there than nowhere.
    """
    from platformdirs import user_log_path

    handler: logging.Handler
    try:
        file = user_log_path("drumhead", ensure_exists=True) / "drumhead.log"
        if not os.access(file if file.exists() else file.parent, os.W_OK):
            raise PermissionError(f"{file} may not be written to")
        handler = logging.FileHandler(file, delay=True, encoding="utf-8")
    except OSError as error:
        print(f"drumhead: what would be logged to a file comes here ({error})", file=sys.stderr)
        handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.basicConfig(level=logging.WARNING, handlers=[handler])


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="drumhead",
        description="The umpire at your table: rolls, odds, rules, turn and record.",
        parents=[_place(), _player()],
    )
    parser.set_defaults(run=_console)
    # An option may stand before or after the command; the command's own copy must not reset it.
    again = [_place(argparse.SUPPRESS), _player(argparse.SUPPRESS)]
    commands = parser.add_subparsers(title="commands")
    talk = commands.add_parser("console", parents=again, help="talk to the umpire here; also without a command")
    talk.set_defaults(run=_console)
    parser.set_defaults(also=[])
    talk.add_argument(
        "--also", action="append", default=argparse.SUPPRESS, metavar="NAME", help="another player: NAME: message"
    )
    ask = commands.add_parser("ask", parents=again, help="one message, one answer")
    ask.add_argument("--json", action="store_true", help="print the machine form; MESSAGE - reads one a line")
    ask.add_argument("message", nargs="+")
    ask.set_defaults(run=_ask)
    report = commands.add_parser("report", parents=again, help="the battle report of the channel's game")
    report.add_argument("--html", type=Path, metavar="FILE", help="as one page with pictures; otherwise Markdown")
    report.set_defaults(run=_report)
    _add_record_commands(commands)
    chat = commands.add_parser("discord", parents=again, help="serve Discord; the token comes from DISCORD_TOKEN")
    chat.add_argument("--settings", type=Path, help="settings instead of the shipped config/bot.yaml")
    chat.add_argument("--check", action="store_true", help="tell what is wrong with the settings, without connecting")
    chat.set_defaults(run=_discord)
    return parser


def _add_record_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    here = [_place(argparse.SUPPRESS)]
    export = commands.add_parser("export", parents=here, help="print a page of the record, for anyone to verify")
    export.add_argument("--page", help="the page's id; otherwise the newest with anything on it")
    export.add_argument("--all", action="store_true", help="the whole channel, to be imported elsewhere")
    export.set_defaults(run=_export)
    verify = commands.add_parser("verify", help="recompute every face of an exported page")
    verify.add_argument("file")
    verify.set_defaults(run=_verify)
    check = commands.add_parser("check", parents=here, help="find rows of the record that were tampered with")
    check.set_defaults(run=_check)
    backup = commands.add_parser("backup", parents=here, help="copy the record while it is in use")
    backup.add_argument("file", type=Path)
    backup.set_defaults(run=_backup)
    taking = commands.add_parser("import", help="take in an exported channel", parents=here)
    taking.add_argument("file", type=Path)
    taking.add_argument("--as", dest="name", help="the channel's name here; otherwise its own")
    taking.set_defaults(run=_import)


def _place(default: str | None = None) -> argparse.ArgumentParser:
    """Where the record is, and which channel of it."""
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("--ledger", default=default or default_ledger(), help="the record: a file, or a database URL")
    options.add_argument("--channel", default=default or "console", help="the table's channel")
    return options


def _player(default: str | None = None) -> argparse.ArgumentParser:
    """Who speaks, by which rules."""
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("--who", default=default or "player", help="who is speaking")
    options.add_argument("--ruleset", default=default or DEFAULT_RULESET, help="used where the channel has not chosen")
    return options


def default_ledger() -> str:
    """DRUMHEAD_LEDGER, or a file in the user's data directory."""
    from platformdirs import user_data_path

    return os.environ.get("DRUMHEAD_LEDGER") or str(user_data_path("drumhead") / "ledger.db")


@contextmanager
def opened(options: argparse.Namespace) -> Iterator[Desk]:
    """The desk over the app and its ledger, closed at the end."""
    with (
        house_at(options.ledger, options.ruleset) as house,
        Desk(App(house).answer, lambda: os.urandom(4).hex(), house.storage.settle) as desk,
    ):
        yield desk


def _console(options: argparse.Namespace) -> int:
    from platformdirs import user_state_path

    history = user_state_path("drumhead") / "history"
    with opened(options) as desk:
        console.run(desk.ask, [options.who, *options.also], options.channel, history)
    return 0


def _ask(options: argparse.Namespace) -> int:
    text = " ".join(options.message)
    with opened(options) as desk:
        if options.json and text == "-":
            machine.stream(desk.ask, options.who, options.channel, sys.stdin, sys.stdout)
            return 0
        reply = desk.ask(Asked(text=text, who=options.who, where=options.channel))
    if options.json:
        machine.write(reply, sys.stdout)
    else:
        console.show(reply)
    return _STATUS.get(reply.kind, 0)


def _report(options: argparse.Namespace) -> int:
    from bot import record_commands
    from bot.verbs.table.report import html_report, markdown_report

    record_commands.must_be_there(options.ledger)
    with house_at(options.ledger, options.ruleset) as house:
        if options.html is None:
            print(markdown_report(house, options.channel))
        else:
            options.html.write_text(html_report(house, options.channel), encoding="utf-8")
            print(f"The report is in {options.html}.")
    return 0


def _discord(options: argparse.Namespace) -> int:
    # Until the client listens for them: the first process of a container would not be ended otherwise.
    for name in (signal.SIGTERM, signal.SIGINT):
        signal.signal(name, lambda *_: sys.exit(0))
    from bot.channels import discord_start

    if options.check:
        return discord_start.check(options.settings, os.environ, house_of, options.ledger, sys.stdout)
    return discord_start.main(options.settings, os.environ, partial(house_of, options.ledger))


@contextmanager
def _there(options: argparse.Namespace) -> Iterator[Storage]:
    """A record that must exist already."""
    from bot import record_commands

    record_commands.must_be_there(options.ledger)
    with storage_at(options.ledger) as storage:
        yield storage


def _verify(options: argparse.Namespace) -> int:
    from bot import verify

    return verify.main([options.file])


def _export(options: argparse.Namespace) -> int:
    from bot import record_commands

    with _there(options) as storage:
        if options.all:
            return record_commands.export_channel(storage.ledger, options.channel, sys.stdout)
        return record_commands.export_page(storage.ledger, options.channel, options.page, sys.stdout)


def _check(options: argparse.Namespace) -> int:
    from bot import record_commands

    with _there(options) as storage:
        return record_commands.check(storage.ledger, sys.stdout)


def _backup(options: argparse.Namespace) -> int:
    from bot import record_commands

    with _there(options) as storage:
        return record_commands.backup(storage.ledger, options.file, sys.stdout)


def _import(options: argparse.Namespace) -> int:
    from bot import record_commands

    with storage_at(options.ledger) as storage:
        return record_commands.import_channel(storage.ledger, options.file, options.name, sys.stdout)


if __name__ == "__main__":
    sys.exit(main())
