"""A YAML file as plain nodes, read in one pass and without what content does not need."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import yaml
from yaml.constructor import SafeConstructor
from yaml.reader import ReaderError
from yaml.resolver import Resolver

MOST_BYTES = 1_000_000
DEEPEST = 20

# The same parser in C where the package was built with it; many times faster.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_STRING, _NULL = "tag:yaml.org,2002:str", "tag:yaml.org,2002:null"
_resolve: Callable[..., str] = Resolver().resolve


class NotPlain(Exception):
    """What is wrong with the file, and in which line."""

    def __init__(self, line: int, message: str) -> None:
        super().__init__(message)
        self.line = line
        self.message = message


@dataclass
class Node:
    """One node; `line` counts from 1."""

    line: int


@dataclass
class Scalar(Node):
    """A single value as it is written; `tag` is None where its looks decide what it is."""

    text: str
    tag: str | None

    def kind(self) -> str:
        """Its tag, read off its looks where the file does not say it."""
        return self.tag or _resolve(yaml.ScalarNode, self.text, (True, False))

    def is_nothing(self) -> bool:
        """Whether it stands for no value at all."""
        return self.kind() == _NULL

    def value(self) -> object:
        """The string, number, truth value, date or nothing that it stands for."""
        try:
            return SafeConstructor().construct_object(yaml.ScalarNode(self.kind(), self.text))
        except (yaml.YAMLError, ValueError, OverflowError):
            raise NotPlain(self.line, f"is not a plain value; got {self.text[:50]!r}") from None


@dataclass
class Sequence(Node):
    """A list."""

    items: list[Node] = field(default_factory=list)


@dataclass
class Pairs(Node):
    """A mapping; keys and values stand alternately in `items`."""

    items: list[Node] = field(default_factory=list)

    def pairs(self) -> Iterator[tuple[Node, Node]]:
        """Each key with its value."""
        return zip(self.items[::2], self.items[1::2], strict=True)


def at(node: Node, path: str) -> Node | None:
    """The node that a path such as `phases[2].id` leads to from here, if there is one."""
    found: Node | None = node
    for step in re.findall(r"[^.\[\]]+", path):
        found = _below(found, step)
    return found


def _below(node: Node | None, step: str) -> Node | None:
    if isinstance(node, Sequence):
        return node.items[int(step)] if step.isdecimal() and int(step) < len(node.items) else None
    if isinstance(node, Pairs):
        return next((item for name, item in node.pairs() if isinstance(name, Scalar) and name.text == step), None)
    return None


def tree(text: str) -> Node:
    """The one document of a file.

    Raises NotPlain for what is no YAML, for aliases (a few lines of them unfold to gigabytes), for what is
    nested without end, for an empty, an overlong and a second document.
    """
    if len(text.encode()) > MOST_BYTES:
        raise NotPlain(1, f"is larger than {MOST_BYTES} bytes")
    try:
        found = _composed(text)
    except ReaderError as error:
        raise NotPlain(text.encode()[: error.position].count(b"\n") + 1, error.reason) from None
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        raise NotPlain(mark.line + 1 if mark else 1, getattr(error, "problem", None) or str(error)) from None
    if not found:
        raise NotPlain(1, "is empty")
    if len(found) > 1:
        raise NotPlain(found[1].line, "holds more than one document")
    return found[0]


def _composed(text: str) -> list[Node]:
    found: list[Node] = []
    around: list[list[Node]] = []
    into = found
    for event in yaml.parse(text, Loader=_LOADER):
        if isinstance(event, yaml.CollectionEndEvent):
            into = around.pop()
        elif isinstance(event, yaml.NodeEvent):
            line = event.start_mark.line + 1 if event.start_mark else 1
            _refuse(event, line, len(around))
            if isinstance(event, yaml.ScalarEvent):
                into.append(Scalar(line, event.value, event.tag or (None if event.implicit[0] else _STRING)))
            else:
                node = Pairs(line) if isinstance(event, yaml.MappingStartEvent) else Sequence(line)
                into.append(node)
                around.append(into)
                into = node.items
    return found


def _refuse(event: yaml.NodeEvent, line: int, depth: int) -> None:
    if event.anchor is not None:  # of an alias, the name it repeats
        raise NotPlain(line, "anchors and aliases are not read here")
    if depth > DEEPEST:
        raise NotPlain(line, f"is nested more than {DEEPEST} levels deep")
