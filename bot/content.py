"""The only reader of YAML: a file becomes a dataclass, and every complaint carries file, key and line.

All complaints of one file are told at once. Content is found beside this package, whether it was installed
or is run from a checkout, and never by the working directory.
"""

from __future__ import annotations

import dataclasses
import re
import types
from collections.abc import Iterator, Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, Union, get_args, get_origin, get_type_hints

import yaml
from yaml.constructor import SafeConstructor

from resolver.amount import Amount, fixed
from resolver.refused import Refused
from resolver.ruleset import DifferenceChart, RatioChart, Ruleset, TableChart

if TYPE_CHECKING:
    from bot.help_topics import HelpFile
    from bot.roster import Roster

T = TypeVar("T")

_HERE = Path(__file__).parent
ROOM = _HERE / "shipped" if (_HERE / "shipped").is_dir() else _HERE.parent
MOST_BYTES = 1_000_000

# The same reader in C where the package was built with it; many times faster.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
DEEPEST = 20

# A union of dataclasses is told apart by the key `kind`.
KINDS: Mapping[str, type] = {"ratio": RatioChart, "difference": DifferenceChart, "table": TableChart}


class ContentError(Exception):
    """One or more complaints about a file, each "file:line: key: what is wrong"."""

    def __init__(self, complaints: list[str]) -> None:
        super().__init__("\n".join(complaints))
        self.complaints = tuple(complaints)


class _Wrong(Exception):
    """One value could not be read; already complained about."""


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


class _Reader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.complaints: list[str] = []

    def wrong(self, node: yaml.Node, key: str, message: str) -> _Wrong:
        self.complaints.append(f"{self.name}:{node.start_mark.line + 1}: {key or 'file'}: {message}")
        return _Wrong()

    def value(self, node: yaml.Node, kind: Any, key: str) -> Any:
        origin = get_origin(kind)
        if origin in (Union, types.UnionType):
            return self._union(node, get_args(kind), key)
        if origin is tuple:
            return self._tuple(node, get_args(kind)[0], key)
        if origin is not None and issubclass(origin, Mapping):
            return self._mapping(node, get_args(kind)[1], key)
        if kind is Amount:
            return self._amount(node, key)
        if dataclasses.is_dataclass(kind):
            return self._dataclass(node, kind, key)
        return self._scalar(node, kind, key)

    def _union(self, node: yaml.Node, kinds: tuple[Any, ...], key: str) -> Any:
        if type(None) in kinds and node.tag == "tag:yaml.org,2002:null":
            return None
        real = [kind for kind in kinds if kind is not type(None)]
        if len(real) == 1:
            return self.value(node, real[0], key)
        pairs = dict(self._pairs(node, key))
        chosen = pairs.get("kind")
        kind = KINDS.get(chosen.value) if isinstance(chosen, yaml.ScalarNode) else None
        if kind not in real:
            raise self.wrong(node, f"{key}.kind", f"is one of {', '.join(KINDS)}")
        return self._dataclass(node, kind, key, skip=("kind",))

    def _tuple(self, node: yaml.Node, kind: Any, key: str) -> tuple[Any, ...]:
        if not isinstance(node, yaml.SequenceNode):
            raise self.wrong(node, key, "is a list")
        return tuple(self._each([(f"{key}[{i}]", item) for i, item in enumerate(node.value)], kind))

    def _mapping(self, node: yaml.Node, kind: Any, key: str) -> dict[str, Any]:
        pairs = list(self._pairs(node, key))
        values = self._each([(f"{key}.{name}", item) for name, item in pairs], kind)
        return dict(zip((name for name, _ in pairs), values, strict=True))

    def _each(self, items: list[tuple[str, yaml.Node]], kind: Any) -> list[Any]:
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

    def _pairs(self, node: yaml.Node, key: str) -> Iterator[tuple[str, yaml.Node]]:
        if not isinstance(node, yaml.MappingNode):
            raise self.wrong(node, key, "is a mapping of keys to values")
        seen: set[str] = set()
        for name, item in node.value:
            if not isinstance(name, yaml.ScalarNode):
                raise self.wrong(name, key, "has a key that is not a plain word")
            if name.value in seen:
                raise self.wrong(name, f"{key}.{name.value}".lstrip("."), "stands twice")
            seen.add(name.value)
            yield str(name.value), item

    def _dataclass(self, node: yaml.Node, kind: Any, key: str, skip: tuple[str, ...] = ()) -> Any:
        hints = _hints(kind)
        fields = {field.name: field for field in dataclasses.fields(kind)}
        values: dict[str, Any] = {}
        nodes: dict[str, yaml.Node] = {}
        failed = False
        for name, item in self._pairs(node, key):
            if name in skip:
                continue
            path = f"{key}.{name}".lstrip(".")
            nodes[name] = item
            try:
                if name not in fields:
                    raise self.wrong(item, path, f"is not known; known are {', '.join(fields)}")
                values[name] = self.value(item, hints[name], path)
            except _Wrong:
                failed = True
        for name, field in fields.items():
            needed = field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
            if needed and name not in nodes:
                self.wrong(node, f"{key}.{name}".lstrip("."), "is missing")
                failed = True
        if failed:
            raise _Wrong
        try:
            return kind(**values)
        except Refused as refused:
            name = refused.name.replace(" ", "_")
            where = f"{key}.{name}" if name in nodes else key
            raise self.wrong(nodes.get(name, node), where.lstrip("."), refused.message) from None

    def _amount(self, node: yaml.Node, key: str) -> Amount:
        match = re.fullmatch(r"(?:(\d{0,4})[dD](\d{1,4})([+-]\d{1,4})?|(\d{1,6}))", str(node.value))
        if match is None:
            raise self.wrong(node, key, "is a number or dice such as 2d6+1")
        count, sides, plus, flat = match.groups()
        try:
            if flat is not None:
                return fixed(int(flat))
            return Amount(int(count or 1), int(sides), int(plus or 0))
        except Refused as refused:
            raise self.wrong(node, key, refused.message) from None

    def _scalar(self, node: yaml.Node, kind: Any, key: str) -> Any:
        if not isinstance(node, yaml.ScalarNode):
            raise self.wrong(node, key, "is a single value")
        text = str(node.value).strip()
        if kind is str:
            return text
        try:
            value = SafeConstructor().construct_object(node)
        except (yaml.YAMLError, ValueError, OverflowError):
            raise self.wrong(node, key, f"is not a plain value; got {node.value[:50]!r}") from None
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            known = [member.value for member in kind]
            if text not in known:
                raise self.wrong(node, key, f"is one of {', '.join(known)}; got {text}")
            return kind(text)
        if kind is float and isinstance(value, int) and not isinstance(value, bool):
            return float(value)
        if type(value) is not kind:
            words = {int: "a whole number", float: "a number", bool: "true or false"}
            raise self.wrong(node, key, f"is {words.get(kind, kind)}; got {node.value!r}")
        return value


def _refuse_tricks(text: str, name: str) -> None:
    """Content is plain: no aliases (a few lines of them unfold to gigabytes), nothing nested without end."""
    depth = 0
    for event in yaml.parse(text, Loader=LOADER):
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        wrong = None
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            wrong = "anchors and aliases are not read here"
        elif depth > DEEPEST:
            wrong = f"is nested more than {DEEPEST} levels deep"
        if wrong is not None:
            line = event.start_mark.line + 1 if event.start_mark else 1
            raise ContentError([f"{name}:{line}: file: {wrong}"])


def parse(text: str, kind: type[T], name: str) -> T:
    """Build `kind` from YAML text, or raise ContentError with every complaint about it."""
    if len(text.encode()) > MOST_BYTES:
        raise ContentError([f"{name}:1: file: is larger than {MOST_BYTES} bytes"])
    try:
        _refuse_tricks(text, name)
        node = yaml.compose(text, Loader=LOADER)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = mark.line + 1 if mark else 1
        raise ContentError([f"{name}:{line}: file: {getattr(error, 'problem', None) or error}"]) from None
    if node is None:
        raise ContentError([f"{name}:1: file: is empty"])
    reader = _Reader(name)
    try:
        value: T = reader.value(node, kind, "")
    except _Wrong:
        raise ContentError(reader.complaints) from None
    return value


def load(path: Path, kind: type[T]) -> T:
    """Build `kind` from a YAML file."""
    return parse(path.read_text(encoding="utf-8"), kind, path.name)


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


class Rulesets(Mapping[str, Ruleset]):
    """Every ruleset of a content room by id, which is also the name of its file; each is read when first needed."""

    def __init__(self, room: Path = ROOM) -> None:
        self._files = {path.stem: path for path in sorted((room / "config" / "rules").glob("*.yaml"))}
        self._read: dict[str, Ruleset] = {}

    def __getitem__(self, name: str) -> Ruleset:
        if name not in self._read:
            ruleset = load(self._files[name], Ruleset)
            if ruleset.id != name:
                raise ContentError([f"{name}.yaml:1: id: is {ruleset.id}, but the file is called {name}"])
            self._read[name] = ruleset
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)


def load_rulesets(room: Path = ROOM) -> Mapping[str, Ruleset]:
    """Every ruleset in config/rules, by id."""
    return Rulesets(room)


def load_rosters(room: Path = ROOM) -> dict[str, Roster]:
    """Every roster in config/rosters, by side."""
    from bot.roster import Roster

    files = sorted((room / "config" / "rosters").glob("*.yaml"))
    return {roster.side: roster for roster in (load(path, Roster) for path in files)}
