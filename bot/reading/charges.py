"""Charges, reach, advances: what one pair of dice must do.

charge  = "charge" number                         a bare number: both readings are shown
        | number "inch" "charge" | "charge needing" number     the number on the dice
        | "charge from" inches | "charge at" inches            the distance on the tape
with    = sign number "to charge" | "re-roll" ["whole" | "one die"]
charges = ("at least" N "of" | "all of" | "both of" | "none of") charge (("and" | "or") charge)*
reach   = "reach" "from" inches "with" "M" inches
advance = "advance" ["with" "M" inches] ["re-roll"]
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.chatter import TALK
from bot.reading.clause import Clause, Found, clause, compiled
from bot.reading.draft import Part
from bot.reading.gather import Table, gather
from bot.requests.dice import MOST_CHARGES, AdvanceDice, Charge, ChargeReroll, Reach

_IN = r"(?: ?inch)?"
_ASKING = (
    "on off distance it we're they're unit charge chance chances odds make making need can reach me away apart what"
    " what's how will would should is are try trying attempt attempting good hard likely idea worth about percentage"
    " probability likelihood average if when succeed succeeding successful success pull will shot result"
    " they i i'm we you us them line lines front base bases measured tape says between there where exactly edge nearest"
    " likely stand stands standing"
    " closest"
)
_MORE = (TALK - {"may", "or"}) | frozenset(_ASKING.split())
_OUR = r"(?:an? |the |my |our |their |that |this )?"


def _fails(found: Found) -> Mapping[str, Any]:
    message = f'"{found.words}": I tell the chance that a charge makes it; the rest of 1 is the chance that it does not'
    raise Misread(message, found.span, hint="a 9-inch charge")


def _advanced(found: Found) -> Mapping[str, Any]:
    message = f'"{found.words}": reach is by a normal move, since an advance is commonly followed by no charge'
    raise Misread(message, found.span, hint="reach from 15 with M6; can I charge after advancing?")


def _positive(found: Found, what: str) -> float:
    inches = found.inches(what)
    if not inches:
        raise Misread(f"{what} is more than 0 inches", found.place("num"))
    return inches


def _number(found: Found) -> Mapping[str, Any]:
    return {"number": _positive(found, "a charge")}


def _needs(found: Found) -> Mapping[str, Any]:
    return {"needs": found.whole("up", "the number on the dice", 1, 1000)}


def _distance(found: Found) -> Mapping[str, Any]:
    return {"distance": _positive(found, "the distance")}


def _modifier(found: Found) -> Mapping[str, Any]:
    sign = -1 if found["sign"] in ("-", "minus") else 1
    return {"modifier": sign * found.whole("n", "a modifier to charge, up or down,", 0, 10)}


def _move(found: Found) -> Mapping[str, Any]:
    return {"move": found.inches("a move")}


_WITH: tuple[Clause, ...] = (
    clause(
        "modifier",
        None,
        r"(?P<sign>\+|-|plus|minus) ?<n> to (?:the |my |our |their )?charge(?: roll)?|with (?P<sign>\+|-|plus"
        r"|minus) ?<n>",
        _modifier,
    ),
    clause(
        "re-roll",
        None,
        r"(?:with )?(?:an? )?reroll (?:1|an?|the) (?:lower |single |lowest |worse |worst ){0,2}dice|reroll 1 dice",
        lambda found: {"reroll": ChargeReroll.ONE},
    ),
    clause(
        "re-roll",
        None,
        r"(?:with )?(?:an? |the )?reroll(?: whole| both(?: dice)?| all(?: dice)?| it| the (?:charge|roll|dice)"
        r"| charge)?(?: if (?:it|i|we|they|the charge) (?:fail|fails|miss|misses))?",
        lambda found: {"reroll": ChargeReroll.WHOLE},
    ),
)
CHARGE = Table(
    (
        *_WITH,
        clause(
            "failing",
            None,
            r"fail|fails|failing|failed|failure|miss|misses|missing|not (?:to )?(?:make|making|reach|reaching|get"
            r"|getting|succeed|succeeding)|(?:don't|won't|can't|doesn't|didn't) (?:make|reach|get)",
            _fails,
        ),
        clause(
            "charge",
            None,
            rf"charge(?: roll)?(?: of| for)? (?:an? )?<num>{_IN}(?! (?:unit|target|squad|model|enem))",
            _number,
        ),
        clause(
            "needed",
            None,
            rf"<n:up> inch charge|charge (?:need|on) (?:an? )?<up>"
            rf"|(?:need )?(?:an? )?<up> (?:to|for|on|in) {_OUR}charge(?: roll)?",
            _needs,
        ),
        clause(
            "needed",
            None,
            rf"(?:need|roll|rolling) (?:to (?:roll|get) )?(?:an? |at least (?:an? )?)?<up>"
            rf"(?: (?:to|for|on|in) {_OUR}charge(?: roll)?)?",
            _needs,
        ),
        clause(
            "distance",
            None,
            rf"(?:charge )?(?:from|at|over|away) (?:a distance of )?<num>{_IN}(?: away| off| distance)?",
            _distance,
        ),
        clause(
            "distance",
            None,
            rf"charge <num>{_IN} (?:away|off)|<num>{_IN} (?:away|off|apart)(?: from (?:me|us|them|him|it))?"
            r"|<num> inch (?:to|between|from) (?:me|us|them|him|it|the enemy)"
            r"|(?:measured|tape (?:says|shows|reads)) <num> inch",
            _distance,
        ),
    )
)
THIS_MUCH = Table(
    (
        *_WITH,
        clause(
            "needed",
            None,
            r"(?:roll |rolling |get |getting |score |scoring )?(?:at least )?(?:an? )?<up> (?:on|with|from|using)"
            r" (?:2d6|2 dice)",
            _needs,
        ),
    )
)
_MOVE = clause(
    "move",
    None,
    rf"(?:with )?(?:an? )?(?:m|move|moves|moving|movement) ?(?:of |is )?<num>{_IN}|<num>{_IN} (?:move|movement)",
    _move,
)
REACH = Table(
    (
        *_WITH,
        _MOVE,
        clause(
            "advance",
            None,
            r"(?:(?:after|with|and) )?(?:an? |the )?(?:advance|advanced|run|running|ran)(?: roll| move)?",
            _advanced,
        ),
        clause(
            "distance",
            None,
            rf"(?:from|at) <num>{_IN}(?: (?:away|off))?|reach <num>{_IN}"
            rf"|<num>{_IN} (?:away|off|apart|from (?:us|me|them))",
            _distance,
        ),
    )
)
_OF_REACH = (
    "reach reaches reaching reached get gets getting to safe next turn then charge charged being there far"
    " their they'll enemy"
)
_REACHING = _MORE | frozenset(_OF_REACH.split())
_OF_ADVANCE = "advance advances advancing far get gets go goes going run runs on average move roll"
_ADVANCING = _MORE | frozenset(_OF_ADVANCE.split())
ADVANCE = Table(
    (
        _MOVE,
        clause(
            "re-roll",
            None,
            r"(?:with )?(?:an? |the )?reroll(?: it| the (?:roll|dice)| advance)?",
            lambda found: {"reroll": True},
        ),
    )
)


_SEVERAL = compiled(r"<n>(?= [0-9.]+ inch charge| charge (?:from|at|of|need))")
_BEGINS = re.compile(r"(?:an? )?(?:charge\b|[0-9.]+(?: inch)?(?: charge\b| ,| and| or|$))")


def charge_of(line: Line, die: int, roll: bool) -> Charge:
    """One charge."""
    part, _ = gather(line, CHARGE, die, _MORE)
    said = [name for name in ("number", "needs", "distance") if name in part.fields]
    if not said:
        pending = f"{line.message.text.rstrip()} ‸"
        raise Misread("A charge over how far?", hint="from 9", missing="distance", pending=pending)
    if len(said) > 1:
        first, second = sorted((part.fields[said[0]], part.fields[said[1]]), key=lambda one: one.span)
        found = f'"{first.words}" and "{second.words}" contradict each other'
        hint = "charge needing 9 is the number on the dice, charge from 9 is the tape: say one of them"
        raise Misread(found, second.span, hint=hint, also=first.span)
    return Charge(
        number=part.get("number"),
        needs=part.get("needs"),
        distance=part.get("distance"),
        modifier=part.get("modifier", 0),
        reroll=part.get("reroll"),
        roll=roll,
    )


def total_of(line: Line, die: int) -> Charge:
    """A number to reach on two dice, which is what a charge does."""
    part, _ = gather(line, THIS_MUCH, die, _MORE - {"exactly"})
    return Charge(needs=part.get("needs"), reroll=part.get("reroll"), modifier=part.get("modifier", 0))


def several_charges(line: Line) -> bool:
    """Whether charges follow, each for itself or so many alike."""
    return "charge" in line.text and (_SEVERAL.match(line.text) or _BEGINS.match(line.text)) is not None


def charges_of(line: Line, die: int) -> tuple[Charge, ...]:
    """Several charges; between them stand "and", "or" or commas."""
    several = _SEVERAL.match(line.text)
    if several is not None and len(several["n_1"]) < 3 and 2 <= int(several["n_1"]) <= MOST_CHARGES:
        rest = line.part(line.index(several.end() - 1) + 1, len(line.atoms))
        return (charge_of(rest, die, False),) * int(several["n_1"])
    pieces = _pieces(line)
    if not 2 <= len(pieces) <= MOST_CHARGES:
        message = f'name 2 to {MOST_CHARGES} charges, with "and" between'
        raise Misread(message, line.message_place, hint="at least one of charge 9 and charge 7")
    return tuple(_option(piece, die) for piece in pieces)


def _pieces(line: Line) -> list[Line]:
    """The words of each charge; what has no number of inches belongs to the charge before."""
    starts = [0]
    for index, atom in enumerate(line.atoms):
        after = index + 1
        if atom.text in ("and", "or", ",") and after < len(line.atoms) and _BEGINS.match(line.text, line.starts[after]):
            starts.append(after)
    return [line.part(first, last) for first, last in pairwise((*starts, len(line.atoms) + 1))]


def _option(piece: Line, die: int) -> Charge:
    """A charge, or its bare number."""
    words = [atom.text for atom in piece.atoms if atom.text not in (",", "a", "an")]
    if len(words) == 1 and words[0].isdigit():
        return Charge(number=float(words[0]))
    return charge_of(piece, die, False)


def reach_of(line: Line, die: int) -> Reach:
    """How far away a unit is, and how far it moves first."""
    part, _ = gather(line, REACH, die, _REACHING)
    _need(line, part, "distance", "From how far?", "from 15")
    _need(line, part, "move", "How far does it move?", "M6")
    return Reach(
        distance=part.get("distance"),
        move=part.get("move"),
        modifier=part.get("modifier", 0),
        reroll=part.get("reroll"),
    )


def advance_of(line: Line, die: int, roll: bool) -> AdvanceDice:
    """An advance; without a move only its dice."""
    part, _ = gather(line, ADVANCE, die, _ADVANCING)
    return AdvanceDice(move=part.get("move"), reroll=part.get("reroll", False), roll=roll)


def _need(line: Line, part: Part, name: str, question: str, hint: str) -> None:
    if name not in part.fields:
        raise Misread(question, hint=hint, missing=name, pending=f"{line.message.text.rstrip()} ‸")
