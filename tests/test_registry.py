"""Every request has its verb, and no two verbs share a request's name."""

from __future__ import annotations

import dataclasses
from importlib import import_module
from pathlib import Path

import pytest

from bot.verbs import VERBS, WRITTEN

REQUESTS = sorted(path.stem for path in (Path(__file__).parent.parent / "bot" / "requests").glob("[a-z]*.py"))


@pytest.mark.parametrize("request_type", list(VERBS), ids=lambda kind: kind.__name__)
def test_every_written_verb_is_there(request_type: type) -> None:
    assert callable(VERBS[request_type])


def test_every_request_that_can_be_read_has_a_verb() -> None:
    asked = {
        kind
        for module in map(import_module, (f"bot.requests.{name}" for name in REQUESTS))
        for kind in vars(module).values()
        if dataclasses.is_dataclass(kind) and isinstance(kind, type) and kind.__module__ == module.__name__
    }
    assert asked == set(VERBS)


def test_no_two_requests_share_a_name() -> None:
    names = [name.rpartition(".")[2] for name in WRITTEN]
    assert len(names) == len(set(names))
