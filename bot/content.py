"""The only reader of YAML: a file becomes a dataclass, and every complaint carries file, key and line.

All complaints of one file are told at once. Content is found beside this package, whether it was installed
or is run from a checkout, and never by the working directory.
"""

from __future__ import annotations

import dataclasses
import re
import types
from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, Union, get_args, get_origin, get_type_hints

import yaml

from bot.content_tree import Node, NotPlain, Pairs, Scalar, Sequence, at, tree
from resolver.amount import Amount, fixed
from resolver.refused import Refused
from resolver.ruleset import DifferenceChart, RatioChart, TableChart

if TYPE_CHECKING:
    from bot.help_topics import HelpFile
    from bot.roster import Roster
    from bot.rulesets import Rulesets

T = TypeVar("T")

MOST_SHOWN = 3  # complaints about one file, in a channel

_HERE = Path(__file__).parent
ROOM = _HERE / "shipped" if (_HERE / "shipped").is_dir() else _HERE.parent

# A union of dataclasses is told apart by the key `kind`.
KINDS: Mapping[str, type] = {"ratio": RatioChart, "difference": DifferenceChart, "table": TableChart}


class ContentError(Exception):
    """One or more complaints about a file, each "file:line: key: what is wrong"."""

    def __init__(self, complaints: Iterable[str]) -> None:
        self.complaints = tuple(complaints)
        super().__init__("\n".join(self.complaints))

    @property
    def short(self) -> str:
        """The first complaints, and how many more there are."""
        more = len(self.complaints) - MOST_SHOWN
        return "\n".join(self.complaints[:MOST_SHOWN]) + (f"\nand {more} more" if more > 0 else "")


class _Wrong(Exception):
    """One value could not be read; already complained about."""


@cache
def _fields(kind: type) -> dict[str, tuple[Any, bool]]:
    """The type of every field, and whether a value is needed for it."""
    hints, missing = get_type_hints(kind), dataclasses.MISSING
    return {
        item.name: (hints[item.name], item.default is missing and item.default_factory is missing)
        for item in dataclasses.fields(kind)
    }


@cache
def _how(kind: Any) -> str:
    """The method of the reader that builds this kind."""
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return "_union"
    if origin is not None:
        return "_tuple" if origin is tuple else "_mapping"
    if kind is Amount:
        return "_amount"
    return "_dataclass" if dataclasses.is_dataclass(kind) else "_scalar"


class _Reader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.complaints: list[str] = []

    def wrong(self, node: Node, key: str, message: str) -> _Wrong:
        self.complaints.append(f"{self.name}:{node.line}: {key or 'file'}: {message}")
        return _Wrong()

    def value(self, node: Node, kind: Any, key: str) -> Any:
        return getattr(self, _how(kind))(node, kind, key)

    def _union(self, node: Node, union: Any, key: str) -> Any:
        kinds = get_args(union)
        if type(None) in kinds and isinstance(node, Scalar) and node.is_nothing():
            return None
        real = [kind for kind in kinds if kind is not type(None)]
        if len(real) == 1:
            return self.value(node, real[0], key)
        pairs = dict(self._pairs(node, key))
        chosen = pairs.get("kind")
        kind = KINDS.get(chosen.text) if isinstance(chosen, Scalar) else None
        if kind not in real:
            raise self.wrong(chosen or node, f"{key}.kind", f"is one of {', '.join(KINDS)}")
        return self._dataclass(node, kind, key, skip=("kind",))

    def _tuple(self, node: Node, kind: Any, key: str) -> tuple[Any, ...]:
        if not isinstance(node, Sequence):
            raise self.wrong(node, key, "is a list")
        items = [(f"{key}[{i}]", item) for i, item in enumerate(node.items)]
        return tuple(self._each(items, get_args(kind)[0]))

    def _mapping(self, node: Node, kind: Any, key: str) -> dict[str, Any]:
        pairs = list(self._pairs(node, key))
        values = self._each([(f"{key}.{name}", item) for name, item in pairs], get_args(kind)[1])
        return dict(zip((name for name, _ in pairs), values, strict=True))

    def _each(self, items: list[tuple[str, Node]], kind: Any) -> list[Any]:
        """Read every item even after a wrong one, so that all complaints are told at once."""
        values, failed = [], False
        for key, item in items:
            try:
                values.append(self.value(item, kind, key))
            except _Wrong:
                failed = True
        if failed:
            raise _Wrong
        return values

    def _pairs(self, node: Node, key: str) -> Iterator[tuple[str, Node]]:
        if not isinstance(node, Pairs):
            raise self.wrong(node, key, "is a mapping of keys to values")
        seen: set[str] = set()
        for name, item in node.pairs():
            if not isinstance(name, Scalar):
                raise self.wrong(name, key, "has a key that is not a plain word")
            if name.text in seen:
                raise self.wrong(name, f"{key}.{name.text}".lstrip("."), "stands twice")
            seen.add(name.text)
            yield name.text, item

    def _dataclass(self, node: Node, kind: Any, key: str, skip: tuple[str, ...] = ()) -> Any:
        fields = _fields(kind)
        values: dict[str, Any] = {}
        nodes: dict[str, Node] = {}
        failed = False
        for name, item in self._pairs(node, key):
            if name in skip:
                continue
            path = f"{key}.{name}".lstrip(".")
            nodes[name] = item
            try:
                if name not in fields:
                    raise self.wrong(item, path, f"is not known; known are {', '.join(fields)}")
                values[name] = self.value(item, fields[name][0], path)
            except _Wrong:
                failed = True
        for name, (_, needed) in fields.items():
            if needed and name not in nodes:
                self.wrong(node, f"{key}.{name}".lstrip("."), "is missing")
                failed = True
        if failed:
            raise _Wrong
        try:
            return kind(**values)
        except Refused as refused:
            raise self.refused(node, key, refused) from None

    def refused(self, node: Node, key: str, refused: Refused) -> _Wrong:
        """The complaint at the value that it names, by a path of keys, or at the whole if there is none."""
        path = refused.name.replace(" ", "_")
        found = at(node, path)
        where = key if found is None else f"{key}.{path}"
        return self.wrong(found or node, where.lstrip("."), refused.message)

    def _amount(self, node: Node, _: type[Amount], key: str) -> Amount:
        text = node.text if isinstance(node, Scalar) else ""
        match = re.fullmatch(r"(?:([1-9]\d{0,3})?[dD](\d{1,4})([+-]\d{1,4})?|(\d{1,6}))", text)
        if match is None:
            raise self.wrong(node, key, f"is a number or dice such as 2d6+1; got {text or 'no single value'!r}")
        count, sides, plus, flat = match.groups()
        try:
            if flat is not None:
                return fixed(int(flat))
            return Amount(int(count or 1), int(sides), int(plus or 0))
        except Refused as refused:
            raise self.wrong(node, key, refused.message) from None

    def _scalar(self, node: Node, kind: Any, key: str) -> Any:
        if not isinstance(node, Scalar):
            raise self.wrong(node, key, "is a single value")
        text = node.text.strip()
        if kind is str:
            return text
        try:
            value = node.value()
        except NotPlain as wrong:
            raise self.wrong(node, key, wrong.message) from None
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            known = [member.value for member in kind]
            if text not in known:
                raise self.wrong(node, key, f"is one of {', '.join(known)}; got {text}")
            return kind(text)
        if kind is float and isinstance(value, int) and not isinstance(value, bool):
            return float(value)
        if type(value) is not kind:
            words = {int: "a whole number", float: "a number", bool: "true or false"}
            raise self.wrong(node, key, f"is {words.get(kind, kind)}; got {node.text!r}")
        return value


def parse(text: str, kind: type[T], name: str, check: Callable[[T], None] | None = None) -> T:
    """Build `kind` from YAML text, or raise ContentError with every complaint about it.

    `check` may refuse what was built, for what the kind itself cannot know.
    """
    reader = _Reader(name)
    try:
        root = tree(text)
        value: T = reader.value(root, kind, "")
        if check is not None:
            check(value)
    except NotPlain as wrong:
        raise ContentError([f"{name}:{wrong.line}: file: {wrong.message}"]) from None
    except Refused as refused:
        reader.refused(root, "", refused)
        raise ContentError(reader.complaints) from None
    except _Wrong:
        raise ContentError(reader.complaints) from None
    return value


def load(path: Path, kind: type[T], check: Callable[[T], None] | None = None) -> T:
    """Build `kind` from a YAML file."""
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise ContentError([f"{path.name}:{line}: file: is not UTF-8 text"]) from None
    return parse(text, kind, path.name, check)


def dump(value: Any) -> str:
    """A dataclass as YAML that `parse` reads back equal; what stands at its default is left out."""
    return yaml.safe_dump(_plain(value), sort_keys=False, allow_unicode=True, width=100)


def _plain(value: Any) -> Any:
    if isinstance(value, Amount):
        return value.plus if not value.dice else str(value)
    if dataclasses.is_dataclass(value):
        items = ((item, getattr(value, item.name)) for item in dataclasses.fields(value))
        return {item.name: _plain(inner) for item, inner in items if not _is_default(item, inner)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return str(value) if isinstance(value, StrEnum) else value


def _is_default(item: dataclasses.Field[Any], value: Any) -> bool:
    if item.default_factory is not dataclasses.MISSING:
        return bool(item.default_factory() == value)
    return item.default is not dataclasses.MISSING and bool(item.default == value)


def load_help(room: Path = ROOM) -> HelpFile:
    """The topics of `help`."""
    from bot.help_topics import HelpFile

    return load(room / "config" / "help.yaml", HelpFile)


def load_rulesets(room: Path = ROOM) -> Rulesets:
    """Every ruleset in config/rules, by id."""
    from bot.rulesets import Rulesets

    return Rulesets(room)


def load_rosters(room: Path = ROOM) -> dict[str, Roster]:
    """Every roster in config/rosters, by side."""
    from bot.roster import Roster

    files = sorted((room / "config" / "rosters").glob("*.yaml"))
    return {roster.side: roster for roster in (load(path, Roster) for path in files)}
