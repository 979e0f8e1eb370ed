"""The rulesets of a content room, each read when it is first needed; a bad file hurts no other."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path

from bot.content import ContentError, load
from bot.glossary import entry_ids
from bot.naming import matches
from bot.questions.values import values_of
from resolver.refused import Refused
from resolver.ruleset import Permission, Ruleset

log = logging.getLogger(__name__)


class Rulesets(Mapping[str, Ruleset]):
    """Every ruleset that can be used, by id, which is also the name of its file.

    Asking for one that cannot be used raises ContentError; only the log tells where on the host it lies.
    """

    def __init__(self, room: Path) -> None:
        self._room = room
        self._files = {path.stem: path for path in sorted((room / "config" / "rules").glob("*.yaml"))}
        self._read: dict[str, Ruleset | ContentError] = {}

    def __getitem__(self, id: str) -> Ruleset:
        found = self._found(id)
        if isinstance(found, ContentError):
            raise ContentError(found.complaints)
        return found

    def __iter__(self) -> Iterator[str]:
        return (id for id in self._files if isinstance(self._found(id), Ruleset))

    def __len__(self) -> int:
        return sum(1 for _ in self)

    @property
    def unusable(self) -> dict[str, ContentError]:
        """What is wrong with each file that cannot be used, by the id of its name."""
        found = {id: self._found(id) for id in self._files}
        return {id: error for id, error in found.items() if isinstance(error, ContentError)}

    def called(self, words: str) -> list[Ruleset]:
        """The rulesets that the words may mean, by id or title. Raises ContentError if they mean a bad file alone."""
        titles = [(ruleset.title, id) for id, ruleset in self.items()]
        found = matches(words, [*((id, id) for id in self._files), *titles])
        usable = set(self)
        return [self[id] for id in found if len(found) == 1 or id in usable]

    def _found(self, id: str) -> Ruleset | ContentError:
        if id not in self._read:
            self._read[id] = self._loaded(self._files[id])
        return self._read[id]

    def _loaded(self, path: Path) -> Ruleset | ContentError:
        try:
            return load(path, Ruleset, partial(_check, path.stem, entry_ids(self._room)))
        except ContentError as error:
            found = error
        except OSError as error:
            found = ContentError([f"{path.name}:1: file: cannot be read ({error.strerror or error})"])
        log.warning("%s cannot be used:\n%s", path, found)
        return found


def _check(id: str, entries: frozenset[str], ruleset: Ruleset) -> None:
    """Raise Refused unless the ruleset fits its file's name, the glossary and the values that texts may name."""
    if ruleset.id != id:
        raise Refused("id", f"is {ruleset.id}, but the file is called {id}")
    values = values_of(ruleset)
    for number, permission in enumerate(ruleset.permissions):
        if permission.entry not in entries:
            raise Refused(f"permissions[{number}].entry", f"no entry of the glossary is called {permission.entry}")
        if not _fillable(permission, values):
            known = ", ".join(values)
            raise Refused(f"permissions[{number}].because", f"the names that may stand in {{braces}} are {known}")


def _fillable(permission: Permission, values: Mapping[str, str]) -> bool:
    try:
        permission.because.format_map(values)
    except (LookupError, ValueError, AttributeError):
        return False
    return True
