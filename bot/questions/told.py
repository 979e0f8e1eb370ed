"""What is told and what is asked: a message of several sentences, and the part of it that asks.

    message = {sentence} asking {sentence}

A sentence ends at . ? ! or ; and at a comma or dash before words that ask. The asking part is the last one that asks;
a message that is one sentence, or asks nowhere, is all asking. Sentences that say nothing ("silly question") are left
out. An asking part that only points back ("is that allowed", "what is that") asks about the whole message.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_JOIN = r"(?:(?:so|and|then|but|now|ok|okay|well|um|or|because|hey|please|pls|sorry)[,:]? +)*"
_WHO = (
    r"(?:i|we|he|she|it|they|you|u|that|this|those|these|there|the|a|an|my|our|its|his|her|their|any|anyone|anybody"
    r"|someone|one|both|all|\d\S*|ap|\w+ing)"
)
_AUX = (
    r"(?:can|could|may|might|must|do|does|did|is|are|am|was|were|will|would|should|has|have"
    r"|cant|can't|cannot|couldn't|don't|doesn't|doesnt|didn't|isn't|isnt|aren't|won't|wouldn't|shouldn't|hasn't)"
)
_PLAINLY = r"(?:can|could|may|must|do|does|did|is|are|am|will|should)"
_TOLD = r"(?:i|we|he|she|it|they|you|my|the|ran|fell|shot|\w+ed)\b"  # "the unit, which advanced"
_WHAT = (
    r"(?:(?:what|whats|what's|wat|wot|why|how|hows|how's|whose|whos|who's|when's)\b"
    rf"|(?:which|when|where|who)(?= (?:{_PLAINLY} {_WHO}\b|(?!{_AUX}\b|{_TOLD})[a-z]))"
    r"|(?:explain|define) (?!it\b|that\b|please\b|pls\b)[a-z]"
    r"|(?:can|could) (?:you|u|someone|anyone) (?:explain|tell|remind|say)\b|remind me\b|tell me\b)"
)
_INVERTED = rf"(?:{_AUX} (?:not )?(?:{_WHO})\b)"
_OPENS = re.compile(rf"{_JOIN}(?:what|wat|wot|why|how|who|which|when|where|explain|define|remind me|tell me|{_AUX}\b)")
_END = re.compile(
    r"\s+but (?=(?:what|whats|what's|wat)\b)"
    rf"|(?<=[.?!;])\s+|(?<=[?!;])(?=[^\W\d_])|\s*(?:,|\s-+|:|\.\.+)\s+(?={_JOIN}(?:{_WHAT}|{_INVERTED}))"
)
_TURNS = re.compile(rf"\b(?:can|could|may|must|do|does|did|will|would|should) {_WHO}\b")
_LAST = re.compile(r"[.?!;]\s+([^.?!;]+[.?!;]*\s*)$")
_LOOSE_END = re.compile(r"^(?:\W*|\W*(?:please|pls|plz|thanks|thx|thank you|cheers|lol|ty|mate)\W*)$")
_IDLE = re.compile(
    r"(?:(?:sorry|ok|okay|so|hey|hi|hello|well|um|wait|a|an|another|one more|my|just a|this is a|i have a|it'?s a|and)"
    r"[,:]? *)*(?:(?:very |really )?(?:quick|silly|dumb|stupid|newbie|noob|beginner|basic|daft|small|short|simple|easy)"
    r"(?: (?:one|question|q|thing))?|questions?|help|please help|(?:new|first time) (?:player|here)"
    r"|(?:i'?m )?(?:totally |completely |so )?(?:new|confused|lost)(?: (?:to this|here|at this|now))?"
    r"|i (?:always |keep )?forg[eo]t(?:ting)?(?: it)?|(?:it'?s |this is )?my (?:very )?first (?:game|time)(?: ever)?"
    r"|i (?:really )?(?:don'?t|do not) (?:want|like|know|get|understand)(?: (?:to|it|that|this|at all))*"
    r"|(?:he|she|they|my \w+|the other (?:guy|player)) (?:says?|thinks?|claims?|insists?|said) (?:no|yes|not|so"
    r"|otherwise"
    r"|it'?s not|it isn'?t|it is|i can'?t|i cannot|i can|you can'?t|you can|we can'?t|we can)"
    r"|sorry (?:for|to|about|if) [^.?!;]*|(?:lol|haha|hm+|thanks|cheers|argh|oh)+)\W*"
)
_THAT = r"(?:that|this|it|they|those|these|he|she|i|we|you|one)"
_VERDICT = (
    r"(?:it|that|this|so|ok|okay|fine|allowed|legal|right|correct|true|wrong|possible|count|work|enough|good|normal"
    r"|happen|is|how|the rule|valid|permitted|forbidden|illegal)"
)
_SMALL = (
    r"(?:is|are|does|do|did|happens?|now|then|next|about|not|so|else|works?|mean|means|stands? for|right|correct"
    rf"|the rules?|here|in this case|need|needed|roll|think|say|comes|goes|to|for|please|plz|pls|exactly|again"
    rf"|name|word|term|called?|{_THAT})"
)
_POINTS_BACK = re.compile(
    rf"{_JOIN}(?:{_AUX} {_THAT}(?: (?:not|really|still|just|even|now|then|do|be))*(?: {_VERDICT})*"
    rf"|(?:what|whats|what's|how|which|why|who|who's|whos|wat)(?: {_SMALL})*)\W*"
)
SHORT_FORM = re.compile(r"\b(?:vs|eg|e\.g|ie|i\.e|etc|approx|no)\.$")


@dataclass(frozen=True)
class Told:
    """The sentences before the asking part, the asking part, and what is told behind it."""

    before: str
    asks: str
    behind: str

    @property
    def rest(self) -> str:
        """All that is told."""
        return f"{self.before} {self.behind}".strip()


def told(text: str, apart: bool = False) -> Told:
    """The parts of a message in plain lower case.

    `apart` passes over parts that ask but only point back; then the last part asks where none shows it.
    """
    parts = [part for part in _sentences(text) if not _IDLE.fullmatch(part)]
    asking = [place for place, part in enumerate(parts) if _asks(part) and not (apart and points_back(part))]
    if not asking and apart and not any(map(_asks, parts)):
        asking = [place for place, part in enumerate(parts) if _TURNS.search(part)] or [len(parts) - 1]
    if not asking or len(parts) < 2:
        return Told("", " ".join(parts) or text, "")
    place = asking[-1]
    return Told(" ".join(parts[:place]), parts[place], " ".join(parts[place + 1 :]))


def without_thanks(text: str) -> str:
    """The text without the sentences at its end that say nothing: a tag stands at the end of what it hangs on."""
    end = _LAST.search(text)
    while end is not None and (_IDLE.fullmatch(end[1]) or _LOOSE_END.match(end[1])):
        text = text[: end.start(1)].rstrip()
        end = _LAST.search(text)
    return text


def told_apart(text: str) -> Told:
    """The parts of a message, where the asking one says by itself what it asks about."""
    return told(text, apart=True)


def points_back(part: str) -> bool:
    """ "Is that allowed", "what is that": no word of it says what is asked about."""
    return _POINTS_BACK.fullmatch(part) is not None


def _sentences(text: str) -> list[str]:
    """The sentences; thanks at the end belong to the last one."""
    found: list[str] = []
    for part in filter(None, (part.strip() for part in _END.split(text))):
        if found and (SHORT_FORM.search(found[-1]) or _LOOSE_END.match(part)):
            found[-1] = f"{found[-1]} {part}"
        else:
            found.append(part)
    return found


def _asks(part: str) -> bool:
    return part.rstrip().endswith("?") or _OPENS.match(part) is not None
