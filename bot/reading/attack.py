"""The attack family: roll it, reckon it, compare several. It owns whatever no other family claims."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bot.misread import Misread, Unsure
from bot.reading.atoms import Atom, Line
from bot.reading.build import attack_of
from bot.reading.context import Context
from bot.reading.filler import INTO, is_filler
from bot.reading.intent import Intent, intent_of
from bot.reading.levels import Asked, asked_level, with_level
from bot.reading.message import Message
from bot.reading.owndice import own_dice
from bot.reading.scan import scan
from bot.reading.separators import is_into
from bot.reading.strangers import all_known
from bot.reading.synonyms import line_of
from bot.reading.trace import trace_of
from bot.reading.varied import variant
from bot.requests.attack import Compare, Odds, Roll, Trace
from resolver.attack import Attack

_FACES = re.compile(r"[0-9]s? or (?:an? )?[0-9]s?(?! (?:attack|dice|model|times)\b)(?= |$)")  # "5 or 6"
_SECOND = re.compile(
    r"(?:with|and|to|against) (?:the |my |our )?"
    r"(?:[0-9]*d?[0-9]+(?:\+[0-9]+)? (?:attack|dice)\b|[0-9]+ model with\b|[0-9]+ times\b)"
)
_ITS_OWN = re.compile(r"\b(?:t|toughness|save|sv) ?[0-9]")  # a target without "into"
LONGEST_CHOICE = 500  # characters of a choice that is still read and shown in its canonical words


def attack_family(message: Message, context: Context) -> Roll | Odds | Compare:
    """The request that a described attack makes; choices are whole canonical messages where they can be."""
    try:
        return _request(message, context)
    except Unsure as unsure:
        raise Unsure(unsure.message, tuple(_canonical(choice, context) for choice in unsure.choices)) from None


def _canonical(choice: str, context: Context) -> str:
    if len(choice) > LONGEST_CHOICE:
        return choice
    try:
        return str(_request(Message(choice), context))
    except (Misread, Unsure):
        return choice


def _request(message: Message, context: Context) -> Roll | Odds | Compare:
    """Line breaks part clauses; where that says nothing, they are taken for the ends of full lines."""
    if "\n" not in message.text.strip():
        return _read(line_of(message, context.synonyms), context)
    try:
        return _read(line_of(message, context.synonyms, by_lines=True), context)
    except Misread as misread:
        if misread.missing is not None:
            raise
        return _unbroken(message, context, misread)


def _unbroken(message: Message, context: Context, misread: Misread) -> Roll | Odds | Compare:
    try:
        return _read(line_of(message, context.synonyms), context)
    except Misread:
        raise misread from None


def _read(whole: Line, context: Context) -> Roll | Odds | Compare:
    """What the line asks for; words that may be something else are a level only where the line says nothing without."""
    asked = asked_level(whole)
    if asked is None:
        return _plainly(whole, context)
    if asked.plain or asked.last:
        return _with_level(asked, context)
    try:
        return _plainly(whole, context)
    except (Misread, Unsure):
        return _with_level(asked, context)


def _with_level(asked: Asked, context: Context) -> Odds | Compare:
    """What the rest of the line asks for, with the level."""
    request = _plainly(asked.rest, context)
    if isinstance(request, Roll):
        choices = str(request), str(Odds(request.attack, asked.level))
        raise Unsure(f'"{asked.said.words}" is a chance: roll the attack, or reckon that chance?', choices)
    return with_level(request, asked)


def _plainly(whole: Line, context: Context) -> Roll | Odds | Compare:
    intent, line = intent_of(whole)
    options = list(_options(line))
    if intent is Intent.COMPARE and len(options) == 1:
        options = list(_two(line))
    for option in options if len(options) > 1 else ():
        all_known(option)
    if intent is Intent.COMPARE or (len(options) > 1 and intent in (None, Intent.ODDS)):
        return _compare(options, context)
    rest, faces = own_dice(line, context.ruleset.die)
    if faces is not None and intent is not Intent.ROLL:
        raise Misread("own dice belong to roll only", faces.span, hint="roll … with dice …")
    if intent is None and not any(atom.text[-1].isalnum() and not is_filler(atom.text) for atom in rest.atoms):
        raise Misread("I don't know what to do with this", line.message_place, hint="help")
    attack, notes, trace = read_attack(rest, context)
    if intent is Intent.ROLL:
        own = () if faces is None else ((faces.span, faces.words),)
        return Roll(attack, None if faces is None else faces.value, notes, (*trace, *own))
    return Odds(attack, notes=notes, trace=trace)


def _options(line: Line) -> Iterator[Line]:
    """The pieces between "or" or "better or", and of "is … better than …"."""
    first = 0
    for index, atom in enumerate(line.atoms):
        if atom.text == "better" and index + 1 < len(line.atoms) and line.atoms[index + 1].text in ("than", "or"):
            yield line.part(first, index)
            first = index + 2
        elif atom.text == "or" and first <= index and not _FACES.match(line.text, line.starts[max(index - 1, 0)]):
            yield line.part(first, index)
            first = index + 1
    yield line.part(first, len(line.atoms))


def _two(line: Line) -> Iterator[Line]:
    """The two attacks of "compare … with …": the second begins with its own number of attacks."""
    first = next((index for index, atom in enumerate(line.atoms) if atom.text in ("attack", "dice", "times")), 0)
    for index in range(first + 1, len(line.atoms) - 1):
        if first and _SECOND.match(line.text, line.starts[index]):
            yield line.part(0, index)
            yield line.part(index + 1, len(line.atoms))
            return
    yield line


def _with_target(options: list[Line]) -> list[Line]:
    """The options, each with the target said before the first or behind the last where it says none of its own."""
    before, behind = _head(options[0]), _tail(options[-1])
    if not before and not behind:
        return options
    own = [any(atom.text in INTO for atom in option.atoms) or _ITS_OWN.search(option.text) for option in options]
    return [
        option if has else Line(option.message, (*before, *option.atoms, *behind))
        for option, has in zip(options, own, strict=True)
    ]


def _head(first: Line) -> tuple[Atom, ...]:
    """The target before a colon: "into T4, save 3+: …"."""
    colon = next((index for index, atom in enumerate(first.atoms) if atom.text == ":"), 0)
    return first.atoms[: colon + 1] if colon and first.atoms[0].text in INTO else ()


def _tail(last: Line) -> tuple[Atom, ...]:
    """The target behind the last weapon."""
    at = next((index for index in range(len(last.atoms)) if is_into(last, index)), 0)
    return last.atoms[at:] if at else ()


def _compare(options: list[Line], context: Context) -> Compare:
    if len(options) < 2:
        message = 'compare needs two whole attacks or more, with "or" between'
        raise Misread(message, options[0].message_place, hint="compare … or …")
    whole = _with_target(options)
    read = [_option(option, whole[0], context) for option in whole]
    notes = dict.fromkeys(note for _, option_notes, _ in read for note in option_notes)
    attacks, trace = tuple(attack for attack, _, _ in read), sum((trace for *_, trace in read), ())
    return Compare(attacks, notes=tuple(notes), trace=trace)


def _option(option: Line, first: Line, context: Context) -> tuple[Attack, tuple[str, ...], Trace]:
    """One of several attacks; where it says no number of attacks, it is the first one with something changed."""
    try:
        return read_attack(option, context)
    except Misread as misread:
        if misread.missing != "attacks":
            raise
        varied = None if option is first else variant(option, first, context)
        if varied is not None:
            return varied.attack, varied.notes, ()
        message = 'what stands on each side of "or" is a whole attack'
        raise Misread(message, misread.at or option.message_place, hint="compare … or …") from None


def read_attack(line: Line, context: Context) -> tuple[Attack, tuple[str, ...], Trace]:
    """The attack that a line describes, what was assumed, and which words gave which clause."""
    draft = scan(line, context.ruleset.die)
    attack, notes = attack_of(draft, line, context.ruleset)
    return attack, notes, trace_of(draft)
