"""The question round a described attack: "is it worth shooting … ?", "if I fire …, what happens?".

head = (asking word | "how many" noun)*      before the attack
tail = a question word and asking words      behind it, with no number among them
Only words written out here belong to a question; whatever else stands there is left to the clauses.
"""

from __future__ import annotations

import re

from bot.reading.atoms import Atom, Line

_WHO = "i we you they he she it that this i'm we're they're it's i'd"
_OURS = "me us them him her my our your their his the a an these those"
_AUX = "do does did will would can could should might may are is am be being have has got shall"
_ASKS = (
    "what what's how when if worth should would will can could might suppose assume assuming imagine effective"
    " expect expected average likely enough reckon know wonder wondering"
)
_SMALL = (
    "for from of with to and so then just on please well bad good hard dangerous deadly strong typically"
    " really actually probably usually really any right now likely say bother bothering try trying risk"
    " idea sense make smart wise going gonna able want get there out up turn next tell show give figure work"
    " calculate me help"
)
_NOUNS = r"(?:damage|wound|hit|kills?|dead|model|of|casualties|losses|loss|dice|guys|in|the|total|number|amount|people)"
_COUNTED = (
    rf"(?:how (?:many|much)|(?:average|expected|mean|typical)|(?:kind|sort) of|number of|amount of|any|the most)"
    rf"(?: {_NOUNS})*"
)
_EVENT = r"(?:(?:kill|dice)(?= (?:if|when|with|from)\b)|die|dies|fall|drop|lose|expect|inflict|cause|deal|survive)"
_WORDS = "|".join(sorted({*f"{_WHO} {_OURS} {_AUX} {_ASKS} {_SMALL}".split()}, key=len, reverse=True))
_MARK = r"(?:[,.:;?!]|-(?! [0-9]))"
_HEAD = re.compile(
    rf"(?:(?:{_COUNTED}|{_EVENT}|need to know|{_MARK}|{_WORDS})(?: |$))*(?:(?:put|throw|fire|do|make) (?=[0-9]))?"
)
_ASKED = re.compile(rf"\b(?:{'|'.join(_ASKS.split())}|how|kind|{_EVENT})\b|^(?:do|does|are|is)\b")
_SHOOTS = re.compile(
    r"(?:shoot|shoots|shooting|fire|firing|fires|attacking)(?: (?:at|on|into|up))?(?: (?:me|us|them|him|it))? "
)
_COUNT = re.compile(r"(?:my |our |the |all )*(?:[0-9]+|an?|[0-9]*d[0-9]+\S*)(?: more)? (?:attack|times|dice)\b")
_WITH = re.compile(r"(?:with|from|using)\b")

_TAIL = re.compile(
    rf" (?:(?:so|and|then|but|{_MARK}) )*"
    rf"(?:(?:what|what's|how|worth|any|odds|chances?|thoughts)(?= |$)"
    rf"|(?<=[,.:;?!-] )(?:is|are|will|would|should|do|does|can|could|am)(?= |$))"
    rf"(?: (?:{_WORDS}|{_MARK}|{_NOUNS}|die|dies|dead|kill|through|fall|drop|lose|happens?|happen|go|goes|many|much"
    rf"|odds|chances?|likely|expect|survive|left|look|looks|like|about|anything|do|done|idea|shooting|taking|shot"
    rf"|better|think|reckon|cause|deal|inflict|go down|off|results?|outcome))*$"
)
LONGEST_TAIL = 100  # characters of a closing question

_WHOM = ("them", "him", "it", "her", "you")
_LEADS = (
    (("do", "to"), "into"),
    (("do", "against"), "against"),
    (("do", "into"), "into"),
    (("cause", "on"), "into"),
    (("inflict", "on"), "into"),
    *((("wipe", whom, "out"), "kill") for whom in _WHOM),
    *((("take", whom, way), "kill") for whom in _WHOM for way in ("out", "down")),
    (("wipe", "out"), "kill"),
    (("take", "out"), "kill"),
    (("take", "down"), "kill"),
    (("kill", "out", "of"), "kill"),
    (("kill", "off"), "kill"),
    (("do", "anything", "to"), "into"),
    (("do", "anything", "against"), "against"),
    (("do", "well", "against"), "against"),
    (("enough", "to", "kill"), "kill"),
    (("enough", "to", "wipe"), "kill"),
    (("enough", "for"), "kill"),
    (("enough", "against"), "against"),
    (("fare", "against"), "against"),
    (("get", "through"), "into"),
    (("hurt",), "into"),
    (("harm",), "into"),
)
_BY_FIRST = {words[0]: [lead for lead in _LEADS if lead[0][0] == words[0]] for words, _ in _LEADS}


def without_tail(line: Line) -> Line:
    """The line up to the question at its end; the line itself if there is none."""
    text = line.text
    match = _TAIL.search(text, max(0, len(text) - LONGEST_TAIL))
    return line if match is None or not match.start() else line.part(0, line.index(match.start() + 1))


def without_head(line: Line, asked: bool) -> Line | None:
    """The attack that a question is about, without the words that only ask; None if it does not begin as one."""
    match = _HEAD.match(line.text)
    end = match.end() if match is not None else 0
    shot = _SHOOTS.match(line.text, end)
    if not asked and not _ASKED.search(line.text[: shot.end() if shot else end]):
        return None
    first = line.index(end - 1) + 1 if end else 0
    if shot is None or _COUNT.match(line.text, shot.end()):
        return Line(line.message, tuple(_led(line, first)))
    last = line.index(shot.end() - 2)
    if _WITH.match(line.text, shot.end()):
        return Line(line.message, tuple(_led(line, last + 1)))
    return Line(line.message, (line.atoms[last]._replace(text="into"), *_led(line, last + 1)))


def _led(line: Line, first: int) -> list[Atom]:
    """The atoms from one on, with what a question says in place of "into" put so."""
    kept: list[Atom] = []
    at = first
    while at < len(line.atoms):
        for words, instead in _BY_FIRST.get(line.atoms[at].text, ()):
            piece = line.atoms[at : at + len(words)]
            if tuple(atom.text for atom in piece) == words:
                kept.append(piece[0]._replace(text=instead, end=piece[-1].end))
                at += len(words)
                break
        else:
            kept.append(line.atoms[at])
            at += 1
    return kept
