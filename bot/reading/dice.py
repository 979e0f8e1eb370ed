"""The dice family: loose dice, charges, reach, advances, roll-offs."""

from __future__ import annotations

import re

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.charges import advance_of, charge_of, charges_of, reach_of, several_charges, total_of
from bot.reading.clause import amount, compiled, shown
from bot.reading.context import Context
from bot.reading.dice_chance import dice_chance
from bot.reading.filler import is_filler
from bot.reading.hints import lost, unknown
from bot.reading.intent import ASKED_ROLL, Intent, intent_of
from bot.reading.message import Message
from bot.reading.synonyms import line_of
from bot.requests.dice import Charge, Charges, DiceChance, RollDice, RollOff
from resolver.amount import Amount

TWO_DICE = Amount(2, 6)

_TOGETHER = compiled(
    r"(?:(?:of|to|making|make|that|we|i) )*(?:(?:at least|no fewer than) <n> of|<n>(?:\+| or more) of"
    r"|(?P<all>all|both|each|every 1)(?: of)?|(?P<none>none|neither) of)(?: the| these| those| my| our)?"
)
_ROLL_OFF = re.compile(
    r"(?:a )?(?:roll )?off(?: (?:for|to see|to decide|to settle) .*)?(?= |$)|(?:a )?rolloff(?= |$)"
    r"|(?:for|to see|to decide)(?: the)? (?:first turn|initiative|who (?:goes|is|starts|begins)(?: first)?)(?= |$)"
)
_DICE = compiled(r"(?:dice (?:please )?(?:: )?)?(?:an? )?<dice>(?: s)?")
_SOME = compiled(r"(?:an? |<n> )dice|dice")
_THROW = re.compile(
    r"(?:(?:please|hey|hi|hello|hiya|evening|morning|ok|can|could|would|will|you|u|i|we|someone|somebody|anyone|anybody|do"
    r"|mind|,|!|\.) )*"
    r"(?:(?:throw|throwing|rolling|(?:get|have) a roll of)(?: (?:me|us|my|the|for))* (?=[0-9]|an? (?:d[0-9]|dice))"
    r"|(?:gimme|(?:give|get|need|want)(?: me| us)?) (?:an? )?(?=[0-9]*d[0-9]))"
)
_MOVES = re.compile(
    r"(?<!')\bm ?[0-9]|\b(?:moves?|moving|movement)(?: of| is)? [0-9]|[0-9](?: inch)? (?:move|movement)\b"
)
_ARRIVES = re.compile(r"\b(?:charge|charged|safe|get to|gets to)\b")
_TOTAL = re.compile(r"[0-9]\S* (?:on|with|from|using) (?:2d6|2 dice)\b")
_GETS_IN = re.compile(r"\bneed (?:to (?:roll|get) )?(?:an? )?[0-9]+\+? to (?:get|make it) (?:in|into combat|there)\b")
_ADVANCES = re.compile(r"\b(?:advances?|advancing)\b")
_MAY = re.compile(r"\W*(?:can|may|am|are|is|could|must|do)\b")
_RULED = re.compile(r"(?:do|must) ")  # "do I roll 2d6" asks for the rule
_ONE_DIE = re.compile(r"1?d ?\d+")
_NAMED = re.compile(r"\W*(?:what|wat|whats|what's|explain|define)\b")  # "what is d6" asks what the name means
_REACH = re.compile(r"\breach(?:es|ing)?\b|^from [0-9.]+(?: inch)? with (?:a )?m(?:ove)? ?(?:of )?[0-9]")


def dice_family(message: Message, context: Context) -> object | None:
    """The request about dice, if the message makes one."""
    whole = line_of(message, context.synonyms)
    intent, line = intent_of(whole)
    asked = ASKED_ROLL.match(whole.text)
    thrown = None if asked else _THROW.match(whole.text)
    if thrown is not None:
        intent, line = Intent.ROLL, whole.part(whole.index(thrown.end() - 1) + 1, len(whole.atoms))
    if intent is Intent.NEEDS:
        line = whole
    roll = intent is Intent.ROLL
    text, die = line.text, context.ruleset.die
    for said in (line, whole):  # "all" is also a courtesy: "all, a 9-inch charge please"
        charges = _together(said, die)
        if charges is not None:
            return charges
    if _REACH.search(text) or (_MOVES.search(text) and _ARRIVES.search(whole.text)):
        return reach_of(line, die)
    of_dice = dice_chance(line, die) if intent is Intent.ODDS and not asked else None
    if of_dice is not None:
        return None if _NAMED.match(whole.text) and _ONE_DIE.fullmatch(text.strip(" ?!.")) else of_dice
    if _TOTAL.search(text) and not roll and context.ruleset.movement.charge == TWO_DICE:
        return total_of(line, die)
    if re.search(r"\bcharge\b", text) or _GETS_IN.search(text):
        return _charge(line, context, roll)
    if text.startswith(("advance", "an advance")) or (_MOVES.search(text) and _ADVANCES.search(whole.text)):
        return advance_of(line, die, roll)
    off = _ROLL_OFF.match(text)
    if off is not None and (roll or (intent is None and "roll" in off[0])):
        _alone(line, off.end())
        return RollOff()
    if roll or text.startswith("dice"):
        return _loose(line, die, roll)
    if asked and not _RULED.match(whole.text):
        return _lone(whole.part(whole.index(asked.end() - 1) + 1, len(whole.atoms)))  # held back, since it asks
    lone = _lone(line) if intent is None and not ("?" in message.plain and _ONE_DIE.match(text)) else None
    return None if lone is None else DiceChance(amount=lone.amount)


def _together(line: Line, die: int) -> Charges | None:
    """Several charges together: so many of them, all or none."""
    match = _TOGETHER.match(line.text)
    if match is None:
        return None
    rest = line.part(line.index(match.end() - 1) + 1, len(line.atoms))
    if not several_charges(rest):
        return None
    options = charges_of(rest, die)
    least = match["n_1"] or match["n_2"]
    if least is None:
        return Charges(options=options, least=0 if match["none_1"] else len(options))
    if not 1 <= int(least[:9]) <= len(options):
        message = f"of {len(options)} charges 1 to {len(options)} can succeed, not {shown(least)}"
        raise Misread(message, line.span(*match.span()), hint="at least one of charge 9 and charge 7")
    return Charges(options=options, least=int(least))


def _charge(line: Line, context: Context, roll: bool) -> Charge | None:
    """A charge; whether one may be declared at the farthest, or from beyond it, is a question about the rules."""
    charge = charge_of(line, context.ruleset.die, roll)
    far = charge.distance is not None and charge.distance >= context.ruleset.movement.charge_within
    return None if far and _MAY.match(line.message.plain) else charge


def _lone(line: Line) -> RollDice | None:
    """Dice and not a word beside them."""
    match = _DICE.match(line.text)
    if match is None or not _ends(line, match.end()):
        return None
    return RollDice(amount(match["dice_1"], line.span(*match.span("dice_1"))))


def _loose(line: Line, die: int, roll: bool) -> RollDice | None:
    """Dice and nothing else; "roll d6 attacks …" is not mine."""
    named = line.text.startswith("dice")
    match = _DICE.match(line.text)
    if match is not None and (named or _ends(line, match.end())):
        _alone(line, match.end())
        return _lone(line)
    some = None if match is not None else _SOME.match(line.text)
    if some is not None and _ends(line, some.end()) and (roll or some["n_1"]):
        return RollDice(amount(f"{some['n_1'] or 1}d{die}", line.span(*some.span())))
    if named:
        raise _no_dice(line)
    return None


def _no_dice(line: Line) -> Misread:
    atom = line.atoms[min(1, len(line.atoms) - 1)]
    return Misread("say which dice", (atom.start, atom.end), hint="dice 3d6+2")


def _ends(line: Line, end: int) -> bool:
    """Whether nothing but filler follows."""
    first = line.index(end - 1) + 1
    return all(is_filler(atom.text) for atom in line.atoms[first:])


def _alone(line: Line, end: int) -> None:
    """Complain of the first word that is not filler."""
    for index in range(line.index(end - 1) + 1, len(line.atoms)):
        text = line.atoms[index].text
        if not is_filler(text):
            raise unknown(line, index) if text[0].isalpha() else lost(line, index)
