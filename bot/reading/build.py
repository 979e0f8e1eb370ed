"""From what was said to an attack: what is missing is asked for, what was assumed is noted, doubts are asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from bot.misread import Misread
from bot.reading.ask import GAP, ask
from bot.reading.atoms import Line
from bot.reading.doubts import settle
from bot.reading.draft import Draft, Part, fields_of
from bot.reading.target import NO_SAVE
from bot.reading.volume import AUTO
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.refused import Refused
from resolver.ruleset import Ruleset, Step

_ASKED: Mapping[str, tuple[str, str]] = {
    "attacks": ("How many attacks?", "10 attacks"),
    "hit": ("What do they need to hit?", "hit 4+"),
    "strength": ("What is the strength of the weapon?", "S5"),
    "toughness": ("What is the toughness of the target?", "T4"),
    "save": ("What is the save of the target?", "save 3+, or no save"),
    "models": ("How many models make these attacks?", "5 models"),
    "targets": ("How many models does the target have?", "10 models"),
    "group": ("How many models are in this group of the target?", "2 models"),
    "range": ("What is the range of the weapon?", "range 30"),
    "distance": ("How far is it?", "at 14"),
}

_WEAPON_FIELDS = frozenset(
    [
        "melee",
        "strength",
        "wound",
        "ap",
        "damage",
        "to_hit",
        "to_wound",
        "reroll_hit",
        "reroll_wound",
        "critical_hit",
        "critical_wound",
        "extra_hits",
        "critical_hits_wound",
        "critical_wounds_pierce",
        "range",
        "half_double",
        "half_plus",
        "per_five",
        "spills",
    ]
)
_GROUP_FIELDS = frozenset(
    ["models", "wounds", "fixed_save", "ignore", "reduce", "halve", "cover", "reroll_save", "lost"]
)


class Build:
    """One draft being made into an attack."""

    def __init__(self, draft: Draft, line: Line, ruleset: Ruleset) -> None:
        self.draft = draft
        self.line = line
        self.ruleset = ruleset
        self.notes = draft.notes
        self.weapons = [draft.merged(own, draft.all_weapons) for own in draft.weapons]
        self.groups = [draft.merged(own, draft.all_groups) for own in draft.groups]

    @property
    def text(self) -> str:
        return self.line.message.text

    def attack(self) -> Attack:
        """The attack, or the first thing that is missing."""
        settle(self.draft, self.weapons, self.groups, self.ruleset.die)
        ask(self.draft, self.line)
        self._need_numbers()
        self._need_counts()
        try:
            weapons = tuple(self._weapon(part) for part in self.weapons)
            groups = tuple(self._group(part) for part in self.groups)
            target = Target(groups=groups, toughness=self.draft.unit.get("toughness"))
            return Attack(weapons=weapons, target=target, distance=self._distance())
        except Refused as refused:
            raise self._refused(refused) from None

    # what is missing, in the order of asking

    def _need_numbers(self) -> None:
        for name in ("attacks", "hit"):
            for place, part in enumerate(self.weapons):
                if part.get(name) is None:
                    raise self._missing(name, self._end_of_weapon(place))
        if Step.WOUND in self.ruleset.steps:
            self._need_wound()
        if Step.SAVE in self.ruleset.steps:
            for place, part in enumerate(self.groups):
                if part.get("save") is None and part.get("fixed_save") is None:
                    raise self._missing("save", self._end_of_group(place))

    def _need_wound(self) -> None:
        for place, part in enumerate(self.weapons):
            if part.get("wound") is None and part.get("strength") is None:
                raise self._missing("strength", self._end_of_weapon(place))
        given = all(part.get("wound") is not None for part in self.weapons)
        if not given and self.draft.unit.get("toughness") is None:
            raise self._missing("toughness", self._start_of_target())

    def _need_counts(self) -> None:
        for place, group in enumerate(self.groups):
            if len(self.groups) > 1 and group.get("models") is None:
                raise self._missing("models", self._end_of_group(place), "group")
        for place, part in enumerate(self.weapons):
            if part.get("each") and part.get("models") is None:
                raise self._missing("models", self._end_of_weapon(place))
            if part.get("per_five") and any(group.get("models") is None for group in self.groups):
                raise self._missing("models", self._end_of_group(0), "targets")
            if part.get("half_double") or part.get("half_plus"):
                if part.get("range") is None:
                    raise self._missing("range", self._end_of_weapon(place))
                if self.draft.shot.get("distance") is None and not self.draft.shot.get("half"):
                    raise self._missing("distance", self._end_of_weapon(place))

    def _missing(self, name: str, at: int, question_of: str = "") -> Misread:
        question, hint = _ASKED[question_of or name]
        before, after = self.text[:at].rstrip(), self.text[at:]
        joint = " into " if name == "toughness" and self.draft.into is None else ", " if before else ""
        return Misread(
            question, hint=hint, missing=name, pending=f"{before}{joint}{GAP}{after and ' ' + after.lstrip()}"
        )

    def _end_of_weapon(self, place: int) -> int:
        part = self.draft.weapons[place]
        return part.end or (self.draft.into[0] if self.draft.into else self._end())

    def _end_of_group(self, place: int) -> int:
        return self.draft.groups[place].end or self._end()

    def _start_of_target(self) -> int:
        return self.draft.into[1] if self.draft.into else self._end()

    def _end(self) -> int:
        return len(self.text)

    # the parts

    def _weapon(self, part: Part) -> WeaponGroup:
        said = fields_of(part)
        values = {name: value for name, value in said.items() if name in _WEAPON_FIELDS}
        hit = said["hit"]
        return WeaponGroup(
            attacks=said["attacks"], models=said.get("models", 1), hit=None if hit == AUTO else hit, **values
        )

    def _group(self, part: Part) -> TargetGroup:
        said = fields_of(part)
        values = {name: value for name, value in said.items() if name in _GROUP_FIELDS}
        save = said.get("save")
        return TargetGroup(save=None if save == NO_SAVE else save, **values)

    def _distance(self) -> float | None:
        distance: float | None = self.draft.shot.get("distance")
        if distance is None and self.draft.shot.get("half"):
            ranges = [part.get("range") for part in self.weapons if part.get("range") is not None]
            distance = min(ranges) / 2 if ranges else None
        return distance

    def _refused(self, refused: Refused) -> Misread:
        """The complaint of an impossible combination, at the words that made it."""
        names = _GUILTY.get(refused.name, ())
        others = () if refused.name == "number of dice in all" else (*self.groups, self.draft.unit, self.draft.shot)
        parts = (*self.weapons, *others)
        places = sorted(part.fields[name].span for name in names for part in parts if name in part.fields)
        if not places:
            return Misread(refused.message)
        also = places[0] if len(places) > 1 and places[0] != places[-1] else None
        return Misread(refused.message, places[-1], also=also)


# The words behind a complaint of the resolver, by its name.
_GUILTY: Mapping[str, tuple[str, ...]] = {
    "number of dice in all": ("attacks", "models"),
    "number of attacks": ("attacks",),
    "number of models": ("models",),
    "models": ("models",),
    "number of wounds lost": ("lost",),
    "melee": ("melee", "distance", "range", "cover", "half"),
    "range": ("range", "distance"),
    "damage": ("damage",),
}


def attack_of(draft: Draft, line: Line, ruleset: Ruleset) -> tuple[Attack, tuple[str, ...]]:
    """The attack that a draft describes, and what was assumed."""
    build = Build(draft, line, ruleset)
    attack = build.attack()
    return attack, (*draft.notes, *assumed(build))


def assumed(build: Build) -> Iterator[str]:
    """What nobody said, in words."""
    if any(part.get("ap") is None for part in build.weapons):
        yield "no AP given: AP 0"
    if any(part.get("damage") is None for part in build.weapons):
        yield "no damage given: 1"
    if any(part.get("wounds") is None for part in build.groups):
        yield "no wounds given: W1"
    if any(part.get("models") is None for part in build.groups):
        yield "no number of target models: large enough"
