"""One pass over the words of an attack: every word belongs to a clause, a separator or the listed filler.

attack  = weapons ["into" target]
weapons = group ("plus" group)*
target  = clause* [":"] group ("then" group)*
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from functools import cached_property
from typing import Any

from bot.misread import Misread
from bot.reading import criticals, ranges, rerolls, target, weapon, wrong
from bot.reading.atoms import Line
from bot.reading.bare import HERE_TARGET, HERE_WEAPON
from bot.reading.clause import Clause, Found, Place
from bot.reading.draft import Draft, Part, Said
from bot.reading.filler import INTO, PUNCTUATION, is_filler
from bot.reading.gather import Table
from bot.reading.hints import lost
from bot.reading.separators import is_into, past_joint
from bot.reading.singular import is_single
from bot.reading.strangers import all_known
from bot.reading.unnamed import bare_number, reroll_of

_BOTH = (*wrong.CLAUSES, *weapon.CLAUSES, *rerolls.CLAUSES, *criticals.CLAUSES, *ranges.CLAUSES, *target.CLAUSES)
WEAPON_PART = Table((*_BOTH, *HERE_WEAPON))
TARGET_PART = Table((*_BOTH, *HERE_TARGET))

_OTHERS = ("enemy", "enemies", "target", "opponent", "opponents", "defender", "defenders")  # the target is spoken of
_BUT_OF = ("all", "any", "none", "nothing", "everything", "anything", "last", "not")  # "all but 2" is a part
_WITH = ("with", "has", "have", "having", "at", "they", "they're", "it", "it's", "he's", "she's", "is", "are")
_BEHIND_COUNT = (",", "with", "of", "at", "and", ".", "have", "has", "having", "are", "is")
_HAVING = ("with", "have", "has", "having", "of", "make", "making", "get", "got", "shooting", "firing")
_TARGET_LAST = "10 attacks, hit 4+, S4 into T4, save 3+, …"
_AIMING = ("shooting", "firing", "aiming", "attacking", "swinging")
_CHECKS = {"hit": "hit", "to_hit": "hit", "wound": "wound", "to_wound": "wound", "save": "save"}


class Scan:
    """The pass itself: where it is, which part it is in, and the draft it fills."""

    def __init__(self, line: Line, die: int) -> None:
        self.line = line
        self.die = die
        self.at = 0
        self._after = 0  # where the clause at hand ends
        self.in_target = False
        self.colon = False
        self.draft = Draft()
        self.check: str | None = None

    def run(self) -> Draft:
        """Read the whole line."""
        all_known(self.line)
        while self.at < len(self.line.atoms):
            self._step()
        for part in self.draft.groups:
            if part.single is not None and "models" not in part.fields:
                self.draft.put(part, "models", part.single)
                self.draft.trace.append(("models", part.single))
        return self.draft

    @property
    def _table(self) -> Table:
        return TARGET_PART if self.in_target else WEAPON_PART

    def _step(self) -> None:
        counted = "attacks" if self._current().get("noun") else ""  # "10 S5 D2 shots": no second number of attacks
        found = self._table.longest(self.line, self.at, counted)
        if found is not None:
            clause, match = found
            self._after = self.line.index(match.end() - 1) + 1
            self._take(clause, match)
            self.at = self._after
        elif not self._separator():
            self._skip()

    def _take(self, clause: Clause, match: re.Match[str]) -> None:
        found = Found(self.line, match, self.die)
        said = clause.says(found)
        self.draft.note_doubts(found)
        self._enter(said)
        for name, value in said.items():
            self._put(clause, name, Said(value, found.span, found.words))
        self._note_check(clause, said)

    def _enter(self, said: Mapping[str, Any]) -> None:
        """Without a separator, the first toughness or save begins the target; it may also come first."""
        if self.in_target and ("attacks" in said or self._attackers(said)) and not self._has_attacks():
            self.in_target = False  # the target came first, and the weapon follows
        elif not self.in_target and not self._separator_ahead():
            self.in_target = "toughness" in said or "save" in said or self._targets(said)

    def _targets(self, said: Mapping[str, Any]) -> bool:
        """Whether these are the models of the target: "10 shots hit 3+ S4, 5 models, T4 …"."""
        weapon = self.draft.weapons[-1]
        waits = weapon.get("each") and "models" not in weapon.fields
        if list(said) != ["models"] or waits or ("attacks" not in weapon.fields and weapon.fields):
            return False
        found = self._ahead(self._past(self._after, _BEHIND_COUNT))
        return found is not None and found[0].name in ("toughness", "save")

    def _attackers(self, said: Mapping[str, Any]) -> bool:
        """Whether these are the models of the weapon: "5 models with 2 attacks each" behind a target."""
        return list(said) == ["models"] and self._attack_from(self._after)

    def _attack_from(self, at: int) -> bool:
        """Whether words of having and a number of attacks each stand here."""
        after = self._past(at, _HAVING)
        found = self._ahead(after) if after > at else None
        return found is not None and found[0].name == "attacks" and " each" in found[1][0]

    def _has_attacks(self) -> bool:
        """Whether a number of attacks was said before the target."""
        return any("attacks" in part.fields for part in (*self.draft.weapons, self.draft.all_weapons))

    def _separator_ahead(self) -> bool:
        return self._last_separator >= self.at

    @cached_property
    def _last_separator(self) -> int:
        """Where the last word stands that leads to the target; -1 if there is none."""
        return next((index for index in reversed(range(len(self.line.atoms))) if is_into(self.line, index)), -1)

    def _put(self, clause: Clause, name: str, said: Said) -> None:
        if name == "reroll":
            name = reroll_of(said, self.draft, self.check, self.in_target)
        elif name == "bare":
            name = bare_number(said, self.draft, self._current(), self.in_target)
        if not name:
            return
        if clause.place is Place.TARGET and name != "cover" and self._before_target():
            message = f'"{said.words}" is said of the target: it stands behind "into"'
            raise Misread(message, said.span, hint=_TARGET_LAST)
        part = self._part(clause, name)
        part.end = max(part.end, said.span[1])
        self.draft.put(part, name, said)
        self.draft.trace.append((name, said))

    def _before_target(self) -> bool:
        """Whether the attack is told of and its target is still to come."""
        if self.in_target or not self._has_attacks():
            return False
        behind = range(self._after, len(self.line.atoms))
        return any(self.line.atoms[place].text in INTO and is_into(self.line, place) for place in behind)

    def _current(self) -> Part:
        return self.draft.groups[-1] if self.in_target else self.draft.weapons[-1]

    def _part(self, clause: Clause, name: str) -> Part:
        """The part to which a field belongs."""
        if name in ("models", "hit") and clause.place is None:
            return self._current()
        if clause.place is Place.UNIT:
            return self.draft.unit
        if clause.place is Place.SHOT:
            return self.draft.shot
        if clause.place is Place.TARGET or name in ("save", "reroll_save"):
            return self.draft.groups[-1] if self.in_target else self.draft.all_groups
        return self.draft.all_weapons if self.in_target else self.draft.weapons[-1]

    def _note_check(self, clause: Clause, said: Mapping[str, Any]) -> None:
        if "bare" in said:
            self.check = "save" if self.in_target else "hit"
        else:
            self.check = next((_CHECKS[name] for name in said if name in _CHECKS), None)

    # separators

    def _separator(self) -> bool:
        atom = self.line.atoms[self.at]
        if is_into(self.line, self.at):
            if self.in_target and self._weapon_follows():
                return False
            self.in_target = True
            self.draft.into = self.draft.into or (atom.start, atom.end)
        elif not self.in_target and (joint := 1 if atom.text == "plus" else self._joint("attacks", "hit")):
            self.draft.weapons.append(Part())
            self.at += joint - 1
        elif atom.text == ":" and self._of_all_weapons():
            self.draft.all_weapons = self.draft.merged(self.draft.weapons[0], self.draft.all_weapons)
            self.draft.weapons = [Part()]
        elif self.in_target and (joint := 1 if atom.text == "then" else self._joint("models", "save")):
            self.draft.groups.append(Part())
            self.at += joint - 1
        elif atom.text == ":" and self.in_target and len(self.draft.groups) == 1:
            self.draft.all_groups = self.draft.merged(self.draft.groups[0], self.draft.all_groups)
            self.draft.groups = [Part()]
        else:
            return False
        self.check = None
        self.at += 1
        return True

    def _joint(self, *names: str) -> int:
        """How many words join the models or attacks of a further group to this one, which must be complete."""
        after = past_joint(self.line, self.at)
        if not after or any(name not in self._current().fields for name in names):
            return 0
        found = self._ahead(after)
        if self.line.atoms[after - 1].text == "+" and self._ahead(after - 1) is not None:
            return 0  # "+d2 attacks within half range"
        if found is None or found[0].name not in ("models", *([] if self.in_target else ["attacks"])):
            return 0
        attackers = not self._has_attacks() and self._attack_from(self.line.index(found[1].end() - 1) + 1)
        return 0 if self.in_target and attackers else after - self.at

    def _of_all_weapons(self) -> bool:
        """Whether a colon ends what was said of all weapon groups: "melee: 5 attacks … plus 1 attack …"."""
        said = self.draft.weapons[0].fields
        one = not self.in_target and len(self.draft.weapons) == 1
        return one and bool(said) and "attacks" not in said and "models" not in said

    def _ahead(self, at: int) -> tuple[Clause, re.Match[str]] | None:
        """The clause that begins at an atom, if there is one."""
        return self._table.longest(self.line, at) if at < len(self.line.atoms) else None

    def _weapon_follows(self) -> bool:
        """Whether the next words are of the weapon: then a second "against" says nothing."""
        found = self._ahead(self.at + 1)
        return found is not None and found[0].place in (Place.WEAPON, Place.SHOT)

    def _skip(self) -> None:
        text = self.line.atoms[self.at].text
        self._note_single(text)
        self._note_other(text)
        if text == self._current().get("noun"):  # "10 S4 shots": what they are a number of
            del self._current().fields["noun"]
            self.at += 1
            return
        if is_filler(text) or (text in ("each", "all") and self._says_how(self.at + 1)) or self._joins():
            self.at += 1
            if text in PUNCTUATION and text != ",":
                self.check = None
            return
        raise lost(self.line, self.at)

    def _joins(self) -> bool:
        """ "all into T4", "then wound 3+", "but -1 to hit": words of order that change nothing."""
        text, after = self.line.atoms[self.at].text, self.at + 1
        if text in ("all", "both"):
            after = self._past(after, ("of", "it", "them", "that", "this"))
            return after < len(self.line.atoms) and is_into(self.line, after)
        if text == "only":
            found = self._ahead(after)
            return found is not None and found[0].name in ("attacks", "models")
        if text == "at" and self.line.atoms[self.at - 1].text in _AIMING:
            return after == len(self.line.atoms) or self.line.atoms[after].text in PUNCTUATION
        if text == "but":
            of_all = self.line.atoms[self.at - 1].text in _BUT_OF
            return not of_all and self._ahead(self._past(after, _WITH)) is not None
        if text == "at":
            found = self._ahead(after)
            return found is not None and found[0].place is Place.WEAPON
        found = self._ahead(after) if text == "then" and not self.in_target else None
        return found is not None and found[0].name in ("hit", "wound", "save", "auto hit", "bare number")

    def _past(self, at: int, words: Collection[str]) -> int:
        """The first atom from here on that is none of these words."""
        while at < len(self.line.atoms) and self.line.atoms[at].text in words:
            at += 1
        return at

    def _note_single(self, text: str) -> None:
        """ "a T8 model with a 2+ save" is one model, unless a number is said."""
        atom = self.line.atoms[self.at]
        typed = self.line.message.text[atom.start : atom.end]
        of_each = self.at > 0 and self.line.atoms[self.at - 1].text in ("by", "per", "each", "every")
        if text == "model" and self.in_target and is_single(typed) and not of_each:
            part = self._current()
            part.single = part.single or Said(1, (atom.start, atom.end), typed)

    def _note_other(self, text: str) -> None:
        """ "… hit 4+. The enemy has 10 models": what follows is said of the target; but not "shots by the enemy"."""
        if text in _OTHERS and not self.in_target and self._has_attacks() and not self._separator_ahead():
            before = [atom.text for atom in self.line.atoms[max(0, self.at - 2) : self.at]]
            self.in_target = not {"from", "by", "of"} & set(before)

    def _says_how(self, at: int) -> bool:
        """Whether a clause follows that holds of each model anyhow: "each hitting on 4s"."""
        found = self._ahead(self._past(at, _WITH))
        return found is not None and found[0].name not in ("attacks", "models", "bare number")


def scan(line: Line, die: int) -> Draft:
    """What the line says of an attack."""
    return Scan(line, die).run()
