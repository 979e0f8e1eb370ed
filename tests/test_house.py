"""The house keeps its doors: imports run one way, content rooms hold no code, no room is a lumber room."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
FILES = [*sorted((ROOT / "resolver").rglob("*.py")), *sorted((ROOT / "bot").rglob("*.py"))]

# Who alone may import what: a module prefix -> the files that may.
ONLY: dict[str, str | tuple[str, ...]] = {
    "discord": "bot/channels/discord",
    "sqlalchemy": "bot/ledger",
    "matplotlib": "bot/pictures",
    "yaml": "bot/content",
    "prompt_toolkit": "bot/channels/console",
    "rich": "bot/channels",
    "asyncio": ("bot/channels", "bot/desk", "bot/desk_apart", "bot/__main__"),
}
# Who may not import what.
NEVER = {
    "resolver": ("bot",),
    "bot/verbs": ("bot.channels", "bot.app", "bot.__main__"),
    "bot/channels": ("bot.verbs", "bot.__main__"),
    "bot/reading": ("bot.verbs", "bot.ledger", "bot.channels"),
    "bot": ("bot.__main__",),
}
PURE = {"numpy"}


def imported(path: Path) -> set[str]:
    """Every module that a file imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def inside(module: str, rooms: str | tuple[str, ...]) -> bool:
    rooms = (rooms,) if isinstance(rooms, str) else rooms
    return any(module == room or module.startswith((f"{room}.", f"{room}/", f"{room}_")) for room in rooms)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_one_way(path: Path) -> None:
    place = path.relative_to(ROOT).as_posix().removesuffix(".py").removesuffix("/__init__")
    for module in imported(path):
        for room, forbidden in NEVER.items():
            assert not (inside(place, room) and inside(module, forbidden)), f"{place} imports {module}"
        for package, owners in ONLY.items():
            assert not inside(module, package) or inside(place, owners), f"{place} imports {module}"


def test_the_resolver_needs_numpy_and_the_standard_library_only() -> None:
    import sys

    for path in (ROOT / "resolver").rglob("*.py"):
        tops = {module.split(".")[0] for module in imported(path)}
        assert tops <= sys.stdlib_module_names | PURE | {"resolver"}, path


def test_content_rooms_hold_no_code() -> None:
    assert not [*(ROOT / "config").rglob("*.py"), *(ROOT / "glossary").rglob("*.py")]


def test_no_room_is_a_lumber_room() -> None:
    assert not {path.stem for path in FILES} & {"utils", "helpers", "common", "constants", "misc"}


def test_channels_do_not_import_each_other() -> None:
    channels = {path.stem for path in (ROOT / "bot/channels").glob("*.py")} - {"__init__", "paint"}
    for path in (ROOT / "bot/channels").glob("*.py"):
        own = path.stem.split("_")[0]
        others = {f"bot.channels.{name}" for name in channels if name.split("_")[0] != own}
        assert not imported(path) & others, path
