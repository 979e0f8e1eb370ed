"""`drumhead discord` and `drumhead discord --check`: settings looked over, the client built on the house, and run."""

from __future__ import annotations

import asyncio
import logging
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TextIO

from bot.app import apology
from bot.channels.discord import Umpire
from bot.channels.discord_answering import Opened, answerer, reference
from bot.channels.discord_counter import AnyDesk, Counter
from bot.channels.discord_listening import Listening
from bot.channels.discord_logs import log_to
from bot.channels.discord_room import Room
from bot.channels.discord_run import Runner, connect_to
from bot.channels.discord_settings import (
    SettingsError,
    level_of,
    service_of,
    token_of,
    with_environment,
)
from bot.channels.discord_shown import Studio
from bot.content import ContentError
from bot.desk_apart import DeskApart
from bot.house import House
from bot.ledger import LedgerError
from bot.ledger.place import check_room, file_of
from bot.pictures import png
from bot.reading.context import Context
from bot.reading.opening import opens
from bot.reply import Picture, Reply
from bot.settings import Discord, Settings, load_settings
from bot.suggest import Suggest
from bot.table.units import unit_names
from bot.warm_up import freeze

log = logging.getLogger(__name__)

FINE, WRONG = 0, 1
UNUSABLE = 78  # settings that waiting cannot mend; EX_CONFIG of BSD's sysexits(3), from memory
SETTINGS = "DRUMHEAD_SETTINGS"
OpensAt = Callable[[str, Settings], AbstractContextManager[House]]  # at a record's file or address

# Drawn once at the start, so that the plotting library is there when the first answer wants it.
SAMPLE = Picture("warm up", (("slain", (0.5, 0.5)),), "")


def settings_of(path: Path | None, environment: Mapping[str, str]) -> Settings:
    """The settings file that was named, in the call or the environment, or the one that is shipped."""
    named = path or (Path(environment[SETTINGS]) if environment.get(SETTINGS) else None)
    try:
        return load_settings(named)
    except ContentError as error:
        raise SettingsError(str(error)) from None
    except OSError as error:
        raise SettingsError(f"the settings {named} cannot be read ({error.strerror or error})") from None


def main(path: Path | None, environment: Mapping[str, str], opened: Opened) -> int:
    """Run until told to stop; a setting that cannot be used is complained of and ends it."""
    try:
        token, service, level = token_of(environment), service_of(environment), level_of(environment)
        settings = settings_of(path, environment)
        discord = with_environment(settings.discord, environment)
        log_to(sys.stderr, level, (token,))
        connect_to(service)
        answering = partial(answerer, opened, settings, level, token)
        with opened(settings) as house, DeskApart(answering, lost) as desk, room_of(
            house, desk, discord, ready=desk.ready
        ) as room:
            runner = Runner(lambda: Umpire(room), asyncio.sleep, discord.health_seconds)
            freeze()
            asyncio.run(runner.run(token))
    except SettingsError as error:
        print(f"drumhead: {error}", file=sys.stderr)
        return UNUSABLE
    log.info("closed")
    return FINE


def lost() -> Reply:
    """The answer to a message at which the desk's process ended."""
    return apology(RuntimeError("the desk's process ended"), reference())


@contextmanager
def room_of(house: House, desk: AnyDesk, settings: Discord, **replaced: Any) -> Iterator[Room]:
    """All that the client stands on, with workers for what must not hold up the event loop."""
    with ThreadPoolExecutor(1, "side") as side, ThreadPoolExecutor(1, "studio") as drawing:
        studio = Studio(png, drawing, settings.pictures)
        if settings.pictures:
            drawing.submit(png, SAMPLE)
        parts: dict[str, Any] = {
            "settings": settings,
            "counter": Counter(desk, house.ledger, studio, side),
            "listening": Listening(house.memory, lambda text, where: opens(text, _context(house, where))),
            "suggest": Suggest(house),
            "played": house.ledger.played,
            "clock": time.monotonic,
            "now": lambda: datetime.now(UTC),
            "sleep": asyncio.sleep,
            "ready": partial(asyncio.sleep, 0),
            "reference": reference,
        }
        yield Room(**parts | replaced)


def _context(house: House, where: str) -> Context:
    """What a plain message is read by: nothing that was said before."""
    synonyms = house.memory.recall(where).get("synonyms", {})
    lookup = house.glossary.lookup
    names = unit_names(house, where)
    return Context(house.read_by(where), synonyms, names, is_term=lambda words: bool(lookup.bearing(words)))


def check(path: Path | None, environment: Mapping[str, str], opens_at: OpensAt, ledger: str, out: TextIO) -> int:
    """Say of every setting whether it can be used, without connecting to the service or making a new record."""
    found: list[bool] = []
    loaded: list[Settings] = []

    def tell(name: str, look: Callable[[], str]) -> None:
        try:
            said, fine = look(), True
        except (SettingsError, LedgerError, ContentError) as error:
            said, fine = str(error), False
        found.append(fine)
        out.write(f"{'fine ' if fine else 'WRONG'}  {name}: {said}\n")

    def load() -> str:
        loaded.append(settings_of(path, environment))
        return _settings_words(loaded[0])

    def shards() -> str:
        return _shards_words(with_environment(loaded[0].discord if loaded else Discord(), environment))

    tell("token", lambda: _token_words(token_of(environment)))
    tell("service", lambda: _service_words(environment))
    tell("log", lambda: level_of(environment))
    tell("settings", load)
    tell("shards", shards)
    if loaded:
        tell("record", lambda: _record_words(loaded[0], opens_at, ledger))
    else:
        out.write("later  record: looked at once the settings can be read\n")
    out.write("The service was not connected to.\n")
    return FINE if all(found) else WRONG


def _token_words(token: str) -> str:
    if token.count(".") != 2:
        return "set, but tokens usually have three parts with dots between them"
    return "set"


def _service_words(environment: Mapping[str, str]) -> str:
    service = service_of(environment)
    return "the usual address" if service is None else f"{service.rest} and {service.gateway}"


def _settings_words(settings: Settings) -> str:
    plain = "plain messages where a channel opts in" if settings.discord.plain_messages else "only addressed messages"
    return f"ruleset {settings.ruleset}, {plain}"


def _shards_words(discord: Discord) -> str:
    return "as many as the service says" if discord.shards is None else str(discord.shards)


def _record_words(settings: Settings, opens_at: OpensAt, ledger: str) -> str:
    file = file_of(ledger)
    if file is None or file.exists():
        with opens_at(ledger, settings) as house:
            return f"{house.ledger.name} opened; ruleset {house.default_ruleset} is known"
    check_room(file)
    with TemporaryDirectory() as apart, opens_at(str(Path(apart, "ledger.db")), settings) as house:
        return f"{file} is not there yet, and can be made; ruleset {house.default_ruleset} is known"
