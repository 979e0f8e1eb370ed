"""A message as a row of words: each with its concept, its number, and whether it tells of something done.

word = phrase of the lexicon | inches | target number | modifier | dice | number | ordinal | unknown
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from bot.questions.lexicon import ARTICLES, Form, Lexicon

INCHES, TARGET, MODIFIER, NUMBER, ORDINAL = "inches", "target-number", "modifier-number", "number", "ordinal"

_NOT = re.compile(
    r"\b(?:(can)(?:no|')?t|(wo)n'?t|(do|does|did|is|are|was|were|has|have|had|would|could|must|need|should)n'?t)\b"
)
# "Shooting is off", "is shooting off", "so no charging", "lose my charge": forbidden.
# "A normal move, no running. Can it charge": what was not done is told, and forbids nothing.
_UNDONE = re.compile(
    r"\bno (?=(?:running|advancing|sprinting|dashing|advance|run|falling back|retreating|retreat|shooting|firing)\b"
    r"[^?]{0,40}[.,;:] ?(?:so |and |then |now |but )?(?:can|may|could|am|is|are|do|does|must)\b)"
)
_BE = r"(?:is|are|be)(?: now| then)?"
_DEED = (
    r"(?:(?:a |an |my |the |its )?"
    r"(?:shooting|firing|charging|charge|moving|advancing|fighting|running|measuring|rerolling))"
)
_GONE = (
    r"(?:off(?: the table| limits)?|out|ruled out|out of the question|a no[- ]?go|no longer on)"
    r"(?=\s*(?:$|[,.?!;:]|then|now|right|if|when|after|once|while|for (?:me|us|him|her|them|it|that|this|my|the)\b))"
)
_FORBIDDEN: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(rf"\b({_BE}) {_GONE}"), r"\1 forbidden"),
    (re.compile(rf"\b({_BE} {_DEED}) {_GONE}"), r"\1 forbidden"),
    (re.compile(rf"\bno (?:more )?(?={_DEED}\b(?! (?:phase|weapon|roll|dice|die|step)))"), "forbidden "),
    (re.compile(rf"\b(?:loses?|forfeits?|gives? up|miss(?:es)?(?: out on)?) (?={_DEED}\b)"), "forbidden "),
)
_SHORT = re.compile(r"'(?:s|re|ve|m|ll|d)\b")
_TOKEN = re.compile(
    r"""
      (?P<dice>\d*d\d+(?:[+-]\d+)?)\b
    | (?P<inches>\d+(?:\.\d+)?)(?:
          \s*"|\s*''|[\s-]*inch(?:es)?\b|\s*in\b(?!\s*\w)
        | "?\s*in\b(?=\s*(?:away|apart|range|from)\b))
    | (?P<target>\d+)\s?\+(?!\d)
    | (?P<modifier>[+-]\d+)(?:'?s\b)?
    | (?P<number>\d+(?:\.\d+)?)(?:'?s\b)?
    | (?P<word>[^\W\d_]+)
    """,
    re.VERBOSE,
)
_SIGNED = re.compile(r"(?:\bplus (?:or |and )?minus |\+ ?/? ?- ?|\+(?=two|three))(one|two|three|\d)\b")
# Slips that make another word of it: "put of half range", "shoot and the move", "I gave to charge".
_DO = r"(?:move|shoot|fire|charge|fight|advance|run|fall back|measure|roll)"
_SLIPS: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"\b(worse|better|more|less|higher|lower|bigger|smaller|closer|other) then\b"), r"\1 than"),
    (re.compile(r"\b(?:put|our|ouy|oit|iut|pot|ot|outt|oout) of\b"), "out of"),
    (re.compile(rf"\b(and|but) the (?={_DO}\b(?! (?:phase|roll|die|dice)))"), r"\1 then "),
    (re.compile(r"\b(?:gave|hav|ahve|hvae|haev|hve) to\b"), "have to"),
    (re.compile(r"\b(causes?|scores?|makes?|gives?|gets?) to (?=(?:hits|wounds|attacks)\b)"), r"\1 two "),
)
_ONLY = r"(?:only |just )?(?:the|that|this|my|one|both|all)"
_NEEDS = (
    r"(?:if|when|and|but|while|since)? ?(?:i|he|she|we|they) (?:only )?(?:needs?|(?:hit|wound|save)s? on)"
    r" (?:an? )?[2-6](?:s|\+)?"
)
_ASKS_ANEW = r"(?:do|does|can|may|is|are|am|must) (?:i|we|it|they|he|she|the|my|an?)\b"
_HIS = r"(?:the |his |her |their |my |our |a |enemy )?"
_SINCE = r"(?:if|when|because|since|once|as)"
_BEGINS = r"(?:^|(?<=[,.;] ))(?:so |and |if |when )?"
_PUSHES = r"(?:pushes|makes|brings|puts|takes|moves|gets|drops|worsens|turns|raises)"
_UP_TO = r"(?:up |down |out |at |in)?(?:to |at |be )?(?:an? )?"
_HALVES = (
    (re.compile(r"\b(?:an?|1) inch and a half\b|\b(?:1|one) and a half inch(?:es)?\b"), "1.5 inch"),
    (re.compile(r"\bhalf (?:of )?an? inch\b|\bhalf inch\b"), "0.5 inch"),
    (re.compile(r"\b(?:a )?quarter (?:of )?an? inch\b|\bquarter inch\b"), "0.25 inch"),
)
# What needs no saying: "right next to", "instead" and "then" at the end, what a 1 was needed for.
_SURPLUS = (
    (re.compile(r"\b(?:right|just|directly|very|standing) (?=(?:next to|beside|adjacent to)\b)"), ""),
    (re.compile(rf"^what (?:happens|if)(?: if| when)? ([^,?]+)[,?] (?={_ASKS_ANEW})"), r"if \1, "),
    (re.compile(r"\bof another(?=\s*[?.!]*$)"), "of another model"),
    (re.compile(rf"\b(?:but|and) {_HIS}(?:weapon|gun)s? (?:auto hits?|hits? automatically)"), "unless automatic"),
    (re.compile(r"\b(?:then|there|anyhow)(?=\s*[?.!]*$)"), ""),
    (re.compile(rf"\b{_SINCE} {_HIS}ap ?-?\d? ?{_PUSHES} {_HIS}save {_UP_TO}(?=7)"), "save at "),
    (re.compile(rf"{_BEGINS}{_HIS}save (?:now )?(?:ends|comes|goes|is) {_UP_TO}(?=7)"), "save at "),
    (re.compile(rf"(?<=7\+) (?:after|because of|due to|from|thanks to) {_HIS}ap\b(?: ?-?\d)?"), ""),
    (re.compile(rf"(?<=rolled a 1)(.*?),? {_NEEDS}(?: to (?:hit|wound|save))?(?=$|[,.?!])"), r"\1"),
    (re.compile(r"\bplus (two|three)(?=\s*(?:in total|altogether|to hit|to wound|[?.!]|$))"), r"+\1"),
    (re.compile(rf"\b(?:throw|roll) ({_ONLY}(?: \w+){{1,4}}?) again\b"), r"reroll \1"),
    (re.compile(r"\bon ([2-5])'?s\b"), r"on \1+"),
    (re.compile(r"\b(\d{1,2}) (against|vs|versus) (\d{1,2})(?= [^.?!]*\bwound)"), r"strength \1 \2 toughness \3"),
    (re.compile(r"\bturns? (?:\w+ )?(\d\+)(?: save)? into\b"), r"makes \1"),
)
_SMALL = {"one": "1", "two": "2", "three": "3"}
_WORTH = re.compile(r"\b(worth|adds?|adding) (?:a |an |exactly |only |just )?(one|two|three|[1-9])\b(?![+\"']| ?inch)")
_MINUS = re.compile(r"\bminus (two|three|[2-4])\b(?! (?:damage|wounds?|attacks?|shots?))")
_A_ONE = re.compile(r"\ba one\b(?! )|\ba one\b(?= (?:always|ever|be|is|on|to|fail|with|hit|miss|save|wound)\b)")
_COUNTED = {
    word: number
    for number, word in enumerate(
        ["zero", "-", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    )
} | {
    "ones": 1,
    "twos": 2,
    "threes": 3,
    "fours": 4,
    "fives": 5,
    "sixes": 6,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "eighteen": 18,
    "twenty": 20,
    "thirty": 30,
}
_ORDINALS = {
    word: number
    for number, word in enumerate(
        ["third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"], 3
    )
}
OWNERS = frozenset({"my", "our", "your", "his", "her", "their"})
_INCH = re.compile(rf"\b(an|one|{'|'.join(_COUNTED)}) inch(?:es)?\b")
_MEASURES = frozenset({"from", "at", "within", "over", "under", "beyond", "than", "exactly"})


@dataclass(frozen=True)
class Word:
    """`concept` is None for a word that is not understood, and "" for mere grammar."""

    said: str
    concept: str | None
    past: bool = False
    number: float | None = None


# Between what is told before the asking part, this part, and what is told behind it.
BEGINS, ENDS = Word(".", ""), Word("?", "")


@dataclass(frozen=True)
class _Token:
    said: str
    form: Form | None = None
    word: Word | None = None


def words_of(text: str, lexicon: Lexicon) -> tuple[Word, ...]:
    """The words of a part of a message, its short forms spelt out."""
    return tuple(_measured(list(_phrases(list(_tokens(text, lexicon)), lexicon))))


def _tokens(text: str, lexicon: Lexicon) -> Iterator[_Token]:
    for match in _TOKEN.finditer(text):
        kind, said = match.lastgroup, match[0]
        if kind != "word":
            yield _Token(said, word=_number(kind or "", match))
        elif said in _COUNTED:
            yield _Token(said, Form(said), Word(said, NUMBER, number=_COUNTED[said]))
        elif said in _ORDINALS:
            yield _Token(said, Form(said), Word(said, ORDINAL, number=_ORDINALS[said]))
        else:
            yield _Token(said, lexicon.form(said))


def spelt_out(text: str) -> str:
    """The text with its short forms in full, "plus or minus one", "a one" and "an inch" as the numbers they are."""
    text = re.sub(r"\bre[- ]rol", "rerol", _A_ONE.sub("a 1", text))
    for pattern, meant in (*_HALVES, *_SURPLUS):
        text = pattern.sub(meant, text)
    text = _SIGNED.sub(lambda match: "+" + _SMALL.get(match[1], match[1]), text)
    text = _MINUS.sub(lambda match: "-" + _SMALL.get(match[1], match[1]), text)
    text = _WORTH.sub(lambda match: f"{match[1]} +{_SMALL.get(match[2], match[2])}", text)
    text = _INCH.sub(lambda match: f"{_COUNTED.get(match[1], 1)} inch", text)
    text = _NOT.sub(lambda match: " " + ("will" if match[2] else match[1] or match[3]) + " not ", text)
    text = _SHORT.sub("", text)
    text = _UNDONE.sub("without ", text)
    for pattern, meant in (*_SLIPS, *_FORBIDDEN):
        text = pattern.sub(meant, text)
    return " ".join(text.split())


def _number(kind: str, match: re.Match[str]) -> Word:
    said = match[0]
    if kind == "dice":
        return Word(said, re.sub(r"^1d", "d", said))
    concept = {"inches": INCHES, "target": TARGET, "modifier": MODIFIER, "number": NUMBER}[kind]
    return Word(said, concept, number=float(match[kind]))


def _phrases(tokens: Sequence[_Token], lexicon: Lexicon) -> Iterator[Word]:
    """The longest phrase at each place; articles inside a phrase are skipped."""
    start = 0
    while start < len(tokens):
        length, concept, used = _longest(tokens, start, lexicon)
        if concept is not None:
            said = " ".join(token.said for token in used)
            past = any(token.form is not None and token.form.past for token in used)
            number = next((token.word.number for token in used if token.word is not None), None)
            yield Word(said, concept, past, number)
        else:
            yield _single(tokens[start], lexicon)
        start += length


def _longest(tokens: Sequence[_Token], start: int, lexicon: Lexicon) -> tuple[int, str | None, list[_Token]]:
    row: list[_Token] = []
    best: tuple[int, str | None, list[_Token]] = (1, None, [])
    for place in range(start, len(tokens)):
        token = tokens[place]
        if token.said in OWNERS and row and row[-1].said == "not":
            break  # "can't my engaged men shoot" speaks of no unengaged ones
        if token.said in ARTICLES and row:
            continue
        if len(row) == lexicon.longest or (token.form is None and token.word is None):
            break
        row.append(token)
        spelt = product(*(_spellings(token, lexicon) for token in row))
        concept = next((lexicon.phrases[row] for row in spelt if row in lexicon.phrases), None)
        if concept is not None:
            best = (place - start + 1, concept, list(row))
    return best


def _spellings(token: _Token, lexicon: Lexicon) -> tuple[str, ...]:
    if token.word is not None and token.word.concept == INCHES:
        return (f'{token.word.number:g}"',)
    if token.form is None:
        return (token.said,)
    return lexicon.bases.get(token.said, (token.said,))


def _single(token: _Token, lexicon: Lexicon) -> Word:
    if token.word is not None:
        return token.word
    if token.form is not None and (token.form.base in lexicon.fillers or token.said in ARTICLES):
        return Word(token.said, "")
    return Word(token.said, None)


def _measured(words: list[Word]) -> Iterator[Word]:
    """A bare number beside a word of measuring, or told as a range, is a number of inches."""
    for place, word in enumerate(words):
        before = words[place - 1].said if place else ""
        after = words[place + 1].said if place + 1 < len(words) else ""
        earlier = words[place - 2].said if place > 1 else ""
        ranged = before.endswith("range") or (before in ("is", "of") and earlier.endswith("range"))
        measured = ranged or before in _MEASURES or after in ("away", "apart")
        measured = measured or (word.number is not None and word.number % 1 > 0)  # no die shows 12.1
        yield replace(word, concept=INCHES) if word.concept == NUMBER and measured else word
