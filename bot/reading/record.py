"""Messages about the record and its dice.

    record  = "page" ["whole"] | "cut" WORDS | "reveal" | "audit" ["all"]
            | ["show"] "#" N | "show" (N | "last") | "log" [N] | "who rolled" [N] | "rolls" ["of" NAME] ["this round"]
            | "recheck" N | "why" [N | … NEEDED]
            | "luck" ["of" (NAME | N | "the last" ("roll" | "attack"))] | "forget me"
    N       = ["#"] digits

Only a message that is nothing but one of these is read here; `cut` takes all that follows, as typed.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from bot.misread import Misread
from bot.reading.ask import GAP
from bot.reading.context import Context
from bot.reading.message import Message
from bot.requests import record as requests
from resolver.refused import Refused

Request = Any
_Match = re.Match[str]

_N = r"(?:# ?|no\.? ?|number )?(?P<n>\d{1,9})"
_OF = r"(?P<of>[^#?!]+?)"
_FRAME = r"\s*(?:please,? )?{}(?:,? please)?\s*[.?!]*\s*"


_SAID = r"(?:that|it|this|i|we|he|she|they|you)(?: roll| one| attack| result| charge| advance)?"
_HOW = r"(?:just |very |really |so |that )?"
_LUCK_OF_THE_LAST = (
    r"luck of (?:the |that |my )?(?:last )?(?:roll|one|attack)"
    rf"|(?:so,? |and,? )?(?:how (?:lucky|good|bad|likely) (?:was|is|were) {_SAID}"
    rf"|(?:was|were) {_SAID} (?:an? )?{_HOW}(?:(?:un)?lucky|good|bad|normal|average|typical|usual)"
    r"(?: roll| one| attack| result| luck)?"
    rf"|(?:was|is) (?:that|it|this) {_HOW}luck|did {_SAID} roll {_HOW}(?:well|badly|good|bad|high|low|ok|okay))"
)
# "Why did they need 5s to wound?" asks for the reasons of the attack at hand.
_WHY_NUMBER = (
    r"(?:so |but )?why (?!.*(?:n't|\b(?:not|never|cannot)\b))"
    r"(?=.*\b(?:needs?|needed|sav(?:e|ed|es|ing)|hits?|hitting|wound(?:s|ed|ing)?|roll(?:s|ed)?|on)\b)[a-z ']{0,60}?"
    r"\b(?:[2-7] ?\+|[2-7]s|twos|threes|fours|fives|sixes|sevens|an? [2-7](?: or (?:more|better|higher))?)"
    r"(?: (?:(?:to|for|on) )?(?:an? |the |my |our |their )?(?:hits?|wounds?|sav(?:es?|ing)|armou?r))?"
    r"(?: (?:rolls?|here|there|now|then))*"
)
_MY_LUCK = r"(?:how (?:is|was|about) |what (?:is|was) )?(?:my|our|the) luck(?: so far| today)?"


def _number(match: _Match) -> int | None:
    return None if match["n"] is None else int(match["n"])


_SHAPES: tuple[tuple[str, Callable[[_Match, str], Request]], ...] = (
    (r"(?:show )?(?:the )?page", lambda m, text: requests.ShowPage()),
    (
        r"(?:show )?(?:the )?(?:whole page|page whole|commitment)",
        lambda m, text: requests.ShowPage(whole=True),
    ),
    (r"reveal(?: the| this)?(?: page| secret)?", lambda m, text: requests.Reveal()),
    (r"audit(?: the| this| these)?(?: page| dice)?", lambda m, text: requests.Audit()),
    (r"are (?:the|these|your) dice fair", lambda m, text: requests.Audit()),
    (r"audit all(?: the)?(?: pages| dice)?", lambda m, text: requests.Audit(whole=True)),
    (rf"(?:show (?:me )?{_N}|#(?P<hash>\d{{1,9}}))", lambda m, text: requests.Show(int(m["n"] or m["hash"]))),
    (
        r"(?:(?:show|see)(?: me| us)? (?:the )?last(?: (?:one|roll|dice|entry|attack|result))?"
        r"|what(?: has)? just happened(?: here| there)?"
        r"|(?:(?:what|how) was )?(?:the |that |my |our )?(?:last|latest) (?:roll|dice roll|entry|result))",
        lambda m, text: requests.Show(),
    ),
    (r"(?:show )?(?:me )?(?:the )?log", lambda m, text: requests.Log()),
    (
        rf"(?:show )?(?:me )?(?:the )?log(?: of)?(?: the)?(?: last)? {_N}",
        lambda m, text: requests.Log(int(m["n"])),
    ),
    (rf"who rolled(?: {_N})?", lambda m, text: requests.WhoRolled(_number(m))),
    (r"(?:show )?(?:me )?(?:the )?rolls(?P<round> this round)?", lambda m, text: _rolls(m, None)),
    (
        rf"(?:show )?(?:me )?(?:the )?rolls (?:of|by) {_OF}(?P<round>,? this round)?",
        lambda m, text: _rolls(m, _typed(m, text)),
    ),
    (rf"re-?check(?: roll)? {_N}", lambda m, text: requests.Recheck(int(m["n"]))),
    (rf"why(?: (?:was )?{_N})?", lambda m, text: requests.Why(_number(m))),
    (_WHY_NUMBER, lambda m, text: requests.Why()),
    (r"luck(?: of)? # ?(?P<n>\d{1,9})", lambda m, text: requests.LuckOfOne(int(m["n"]))),
    (_LUCK_OF_THE_LAST, lambda m, text: requests.LuckOfOne(attack="attack" in m[0])),
    (_MY_LUCK, lambda m, text: requests.Luck()),
    (rf"luck(?: of {_OF})?", lambda m, text: requests.Luck(_typed(m, text))),
    (r"forget me", lambda m, text: requests.ForgetMe()),
)
_READERS = [(re.compile(_FRAME.format(f"(?:{shape})")), build) for shape, build in _SHAPES]
_CUT = re.compile(r"\s*cut(?:\s+(?P<words>.*\S))?\s*", re.DOTALL | re.IGNORECASE)
_MEANINGS = frozenset({"meaning", "means", "meaning?", "definition"})  # "cut meaning" asks what a cut is
_LACKING = re.compile(r"\s*(show|recheck|re-check)( #)?\s*")


def record_family(message: Message, context: Context) -> Request | None:
    """A request about the record, or None."""
    cut = _CUT.fullmatch(message.text)  # to the letter, signs without width too
    if cut is not None and (cut["words"] or "").lower() not in _MEANINGS:
        return _cut(cut, message)
    for pattern, build in _READERS:
        match = pattern.fullmatch(message.plain)
        if match is not None:
            return _built(build, match, message)
    if _LACKING.fullmatch(message.plain):
        verb = message.plain.split()[0]
        raise Misread("which entry?", missing="number", hint=f"{verb} #1", pending=f"{verb} {GAP}")
    return None


def _built(build: Callable[[_Match, str], Request], match: _Match, message: Message) -> Request:
    try:
        return build(match, message.text)
    except Refused as refused:
        raise Misread(refused.message, match.span("n")) from None


def _cut(match: _Match, message: Message) -> Request:
    start, end = match.span("words")
    if start < 0:
        raise Misread("cut with which words?", hint="cut the tide is out")
    return requests.Cut(message.text[start:end])


def _rolls(match: _Match, name: str | None) -> Request:
    return requests.RollsOf(name, match["round"] is not None)


def _typed(match: _Match, text: str) -> str | None:
    """The name as it was typed, without its article."""
    start, end = match.span("of")
    return None if start < 0 else re.sub(r"(?i)^the ", "", text[start:end]).strip(" ,")
