"""Who did what first: "can I shoot after advancing" as an action and the conditions under which it is asked.

    after / having / once    the next action was done before
    before                   the next action is the one asked about, the others were done before
    if / when / that         the next action was done before if it stands in the past, else it is only named
    then                     the actions stand in the order told

Whatever does not fit (two persons, a state of the target instead of the unit, a "not" inside) is no deed:
the answer would be about something else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from bot.questions.meaning import UNDONE, UNSHOT
from bot.questions.persons import (
    ACTION,
    AIMED,
    AIMED_AT,
    RELATIVE,
    STATE,
    another_unit,
    engaged_with_mine,
    into_a_fight,
    two_persons,
)
from bot.questions.question import PLAIN, Question
from bot.questions.words import BEGINS, Word
from resolver.ruleset import ACTIONS

_LEAVES, _WALKS = "leave-melee", "walk-away"
_MOVES = frozenset({_LEAVES, _WALKS, "move", "advance", "fall-back"})
_PAST = {"failed-charge": "after failed charge", "charger": "after charge"}
_STANDS = STATE | _PAST
_AGAIN = frozenset({"twice", "again"})
_BINDS = {"after": "before", "before": "later", "then": "next", "if": "if", "when": "if", "that": "if", "who": "if"} | {
    "which": "if"
}
_ASKS = frozenset({"may", "must", "forbidden"})
_STARTS_ANEW = _ASKS | {"to", "with"}
_COMES = frozenset({"come", "comes", "happen", "happens", "occur", "occurs"})
_OTHER_TURN = "other-turn"
_ALLOWED = frozenset({*ACTION, _LEAVES, _WALKS, *STATE, *_PAST, *_AGAIN, UNSHOT, _OTHER_TURN}) | frozenset(
    {"after", "before", "then", "enemy", "target", "declare", "why"}
)
_SHOT_WITH = frozenset({"ranged-weapon"})
PHASES = {f"{name}-phase": name for name in ("command", "movement", "shooting", "charge", "fight")}


@dataclass(frozen=True)
class Deed:
    """`asks` pairs each action asked about with each condition; `either` marks an order left open.

    `phases` are the phases named, and `actions` the actions asked about.
    """

    asks: tuple[tuple[str, str], ...]
    either: bool = False
    phases: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()


@dataclass
class _Roles:
    """What each action in the sentence is doing there."""

    main: list[str] = field(default_factory=list)
    before: list[str] = field(default_factory=list)
    later: list[str] = field(default_factory=list)
    next: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    named: list[str] = field(default_factory=list)
    states: list[str] = field(default_factory=list)
    done: list[str] = field(default_factory=list)


def deed_of(question: Question) -> Deed | None:
    """The deed that the question asks about, or None."""
    extra = question.concepts - _ALLOWED - set(PHASES) - (_SHOT_WITH if "shoot" in question.concepts else set())
    if question.unknown or extra or question.fact not in (None, "why"):
        return None
    if UNDONE in question.concepts and question.concepts & _MOVES and not _only_moved(question):
        return None
    if question.asked == PLAIN and any(map(_tells_order, question.words, question.words[1:])):
        return None
    if _of_the_target(question.words) or two_persons(question.words) or _behind_somebody(question.words):
        return None
    if _aimed_at_whoever_acts(question.words) or into_a_fight(question.words) or engaged_with_mine(question.words):
        return None
    if another_unit(question.words):
        return None
    roles = _roles(_as_told(question.words) if UNDONE in question.concepts else question.words)
    if roles.main == [_WALKS] and not roles.before:
        return None
    roles.main = ["fall back" if action == _WALKS else action for action in roles.main]
    asks, either = _asks(roles, question)
    phases = tuple(PHASES[concept] for concept in sorted(question.concepts & set(PHASES)))
    if not asks and not (phases and len(roles.main) == 1):
        return None
    return Deed(tuple(asks), either, phases, tuple(roles.main))


def _as_told(words: Sequence[Word]) -> Sequence[Word]:
    """ "A normal move, no running. May it …": the move is told as done."""
    begins = words.index(BEGINS) if BEGINS in words else 0
    return [
        replace(word, past=True) if place < begins and word.concept == "move" else word
        for place, word in enumerate(words)
    ]


def _only_moved(question: Question) -> bool:
    """ "It moved, without running": a plain move and nothing else."""
    told = [place for place, word in enumerate(question.words) if word.concept in _MOVES]
    return all(
        question.words[place].concept == "move" and (question.words[place].past or BEGINS in question.words[place:])
        for place in told
    )


def _tells_order(word: Word, after: Word) -> bool:
    """ "Does advancing come before shooting" asks for the order of the phases, not whether one may follow."""
    return word.said in _COMES and after.concept in ("before", "after")


def conditions_of(question: Question) -> tuple[str, ...]:
    """The conditions alone, of a question that names no action of its own ("what can I do after advancing")."""
    if question.unknown or two_persons(question.words):
        return ()
    roles = _roles(question.words)
    return () if roles.main or roles.later or roles.next else (*_after(roles.before), *roles.states)


def _roles(words: Sequence[Word]) -> _Roles:
    roles = _Roles()
    bind, last, asked = "", "", False
    for word in words:
        if word == BEGINS and roles.next:
            roles.done, roles.main, roles.next = [*roles.done, *roles.main, *roles.next], [], []
        if word.concept in _STANDS:
            _stand(roles, bind, word.concept)
            bind = ""
        elif word.concept in (*ACTION, _LEAVES, _WALKS):
            _place(roles, bind, word)
            bind, last = "", bind
        else:
            bind, last = _joined(word, bind, last, asked)
        asked = word.concept in _ASKS or (asked and word.concept == "")
    return _settled(roles)


def _stand(roles: _Roles, bind: str, concept: str) -> None:
    """ "Before a failed charge" is before a charge; any other state holds while the action is done."""
    if bind == "later" and concept in _PAST:
        roles.later.append("charge")
    else:
        roles.states.append(_STANDS[concept])


def _joined(word: Word, bind: str, last: str, asked: bool) -> tuple[str, str]:
    """How the next action is bound to the others behind this word, and how the last one was."""
    if word.concept in _BINDS:
        return ("" if word.concept == "that" and asked else _BINDS[word.concept]), last
    if word.concept in _STARTS_ANEW:
        return "", ""
    if word.concept == "and" and last in ("before", "if"):
        return last, last
    return bind, last


def _settled(roles: _Roles) -> _Roles:
    """What is told as done came before the action asked about; with no such action it is itself the one."""
    told = roles.done if roles.main else roles.next  # "it moved, then shot, may it charge"
    told += roles.told
    if roles.main or roles.later or roles.next or roles.named:
        roles.before = [*roles.done, *roles.before]
    else:
        roles.main = roles.done
    return roles


def _place(roles: _Roles, bind: str, word: Word) -> None:
    action = ACTION.get(word.concept or "", "fall back")
    if bind == "before" or (word.past and bind == "if"):
        roles.before.append(action)
    elif word.past and not bind:
        roles.done.append(action)
    elif bind == "later":
        roles.later.append(action)
    elif bind == "next":
        (roles.told if word.past else roles.next).append(action)
    elif bind == "if":
        roles.named.append(action)
    else:
        roles.main.append(_WALKS if word.concept == _WALKS else action)


def _asks(roles: _Roles, question: Question) -> tuple[list[tuple[str, str]], bool]:
    """Each action with each condition, and whether the order was left open."""
    if not (roles.main or roles.later or roles.next):
        return [], False
    if roles.later:
        if len(roles.later) > 1 or roles.next or roles.named:
            return [], False
        return _pairs(roles.later, (*_after(roles.main), *_after(roles.before), *roles.states)), False
    if roles.next:
        if roles.named or len(roles.main) + len(roles.before) == 0:
            return [], False
        return _in_order([*roles.before, *roles.main, *roles.next]), False
    shared = [*_after(roles.before), *roles.states]
    if {"engaged", "not engaged"} <= set(shared):
        return [], False
    if question.concepts & _AGAIN and len(roles.main) == 1:
        shared = [*shared, *_after(roles.main)] if "twice" in question.concepts else shared or [*_after(roles.main)]
    if _OTHER_TURN in question.concepts:
        shared.append("in the other turn")
    asks = _pairs(roles.main, shared)
    together = _by_phase([*roles.main, *roles.named])
    if len(together) > 1:
        asks += _in_order(together)
    if roles.named:
        asks += [(earlier, f"after {later}") for later, condition in asks if (earlier := condition[6:]) in ACTIONS]
    return asks, bool(roles.named)


def _pairs(actions: Sequence[str], conditions: Sequence[str]) -> list[tuple[str, str]]:
    return [(action, condition) for action in actions for condition in conditions]


def _after(actions: Sequence[str]) -> tuple[str, ...]:
    return tuple(f"after {action}" for action in actions)


def _in_order(actions: Sequence[str]) -> list[tuple[str, str]]:
    """Every later action after every earlier one."""
    return [(later, f"after {earlier}") for i, earlier in enumerate(actions) for later in actions[i + 1 :]]


def _by_phase(actions: Sequence[str]) -> list[str]:
    return sorted(dict.fromkeys(actions), key=ACTIONS.index)


def _behind_somebody(words: Sequence[Word]) -> bool:
    """ "Do chargers strike after the enemy": after somebody, not after a deed."""
    row = [word for word in words if word.concept != ""] + [Word("", "")]
    return any(
        mark.concept in ("after", "before") and whom.concept == "enemy" and after.concept not in ACTION
        for mark, whom, after in zip(row, row[1:], row[2:], strict=False)
    )


def _aimed_at_whoever_acts(words: Sequence[Word]) -> bool:
    """ "Shoot at the enemy my own unit is fighting": the second deed is told of whoever the first one is aimed at."""
    acted, aimed = False, False
    for word in words:
        if word.concept in ACTION:
            if acted and aimed:
                return True
            acted, aimed = not word.past, False
        elif word.concept in AIMED_AT:
            aimed = acted
        elif word.concept in (*_BINDS, *_STARTS_ANEW, "and", "or"):
            acted, aimed = False, False
    return False


def _of_the_target(words: Sequence[Word]) -> bool:
    """Whether a state or an earlier deed is told of the unit aimed at: "shoot a unit that advanced"."""
    row = [word for word in words if word.concept != "" or word.said in AIMED]
    acted = False
    for place, word in enumerate(row):
        if acted and _starts_target(row, place):
            return True
        if word.concept in ACTION and not word.past:
            acted = True
        elif word.concept in (*_BINDS, "with", "and"):
            acted = acted and word.concept in RELATIVE
    return any(_suffered(word, after) for word, after in pairwise(row))


def _suffered(word: Word, after: Word) -> bool:
    """ "A charged unit" was charged, it did not charge."""
    return word.concept in ("charge", "shoot") and word.past and after.concept in AIMED_AT


def _starts_target(words: Sequence[Word], place: int) -> bool:
    """Behind the action stands "at/into melee", "engaged enemy" or "unit that …"."""
    word, behind = words[place], words[place + 1 :]
    if word.said in AIMED:
        return any(later.concept in STATE or later.concept in RELATIVE for later in behind[:4])
    if not behind:
        return False
    stands = word.concept in STATE or (word.concept in ACTION and word.past)
    if stands and behind[0].concept in AIMED_AT:
        return True
    return word.concept in AIMED_AT and (behind[0].concept in RELATIVE or behind[0].concept in STATE)
