"""Questions about the game as it stands: whose turn, which round, what a unit did, who may still act.

They are answered from the record and never act: whatever begins with "did", "has", "is" and the like asks.
"""

from __future__ import annotations

import re

from bot.reading.context import Context
from bot.reading.names import find
from bot.reading.said import Said
from bot.requests.action import MayUnit, Strike, Undo
from bot.requests.glance import Glance
from bot.requests.questions import CanI
from bot.requests.table import ShowUnit, Units, WhatNow, WhatToRoll, WhoseTurn

_YET = r"(?: (?:now|yet|already|again|still|on|soon|right|then|left|next|this|turn|round|phase|game))*"
_STILL = r"(?:(?:now|still|already|just|yet|even|ever|not|also) )*"
_TURN = r"(?:turns?|go)"
_MY_TURN = re.compile(
    rf"(?:is|isn't|was) (?:it|this|that) {_STILL}(?:my|our) {_TURN}{_YET}"
    rf"|(?:am i|are we) (?:up|on|next){_YET}|(?:do|can|may) (?:i|we) (?:go|play){_YET}"
)
_MINE = re.compile(rf"(?:my|our) {_TURN}{_YET}")  # only with a question mark
_WHOSE_TURN = re.compile(
    rf"who(?:'?s|se) {_TURN} (?:is it|is this|now|it is){_YET}"
    rf"|(?:is|isn't|was) (?:it|this|that) {_STILL}(?:your|their|his|her|(?:the )?(?P<side>[\w' ]+?)'s?) {_TURN}{_YET}"
)
_I = r"(?:i|we)"
_DICE = r"(?:(?:many |more |a |the |any )*(?:dice|die|d6s?))"
_HERE = r"(?: (?:now|next|here|then|again|yet|for this|in this (?:phase|step)|this (?:phase|turn|time)))*"
TO_ROLL = re.compile(
    rf"(?=.*\b(?:dice|die|d6s?|roll\w*|throw\w*)\b)(?:what|which|how many)(?: {_DICE})?"
    rf"(?: (?:do|should|must|can|may|am|are|have|shall) {_I})?(?: (?:have|need|got|going|supposed|want))?(?: to)?"
    rf"(?: (?:roll|throw|rolling|throwing|pick up|use|need|take))?(?: to (?:hit|wound|save))?{_HERE}"
    rf"|(?:do|must|should|have|am|are|shall|need) {_I}(?: (?:have|need|got|supposed|meant))?(?: to)?"
    rf" (?:roll|throw)(?:ing)?(?: (?:anything|something|{_DICE}|(?:my |the |our |any )?saves?))?{_HERE}"
    r"|(?:do|does) (?:you|the umpire) (?:also |always )?(?:roll|throw)(?: for (?:me|us))?"
    r"(?: (?:the|my|our|all))*(?: (?:dice|saves?|save rolls?))?"
    rf"|who (?:rolls|throws)(?: (?:the|my|our))? (?:saves?|dice|save rolls?){_HERE}"
    rf"|(?:is there )?(?:anything|something) (?:left )?(?:for (?:me|us) )?to (?:roll|throw){_HERE}"
)
WHAT_NOW = re.compile(
    rf"what now|now what|what(?: (?:do|should|must|can|shall) {_I})? (?:do|type|say|answer|next){_HERE}"
)
_SCORE = re.compile(
    r"(?:am i|are we|who(?:'s| is)) (?:winning|losing|ahead|behind|in the lead)"
    r"|(?:how many|what) (?:victory )?(?:points|vps) (?:do|does|have|has|are) .{1,40}"
)
_FIRST = re.compile(
    rf"(?:who|which side|whose side)(?: (?:had|has|got|gets|took|takes|went|goes|started|starts|is|was|going))+ first"
    rf"(?: turn)?{_YET}|who (?:starts|begins|started|began){_YET}"
)
_ROUND = re.compile(
    rf"is (?:it|this|that) {_STILL}(?:the )?(?:round|turn) (?:\d+|first|second|third|last)"
    rf"(?: of \d+)?{_YET}|is (?:it|this) {_STILL}the (?:first|second|third|fourth|fifth|last|final) (?:round|turn)"
    rf"{_YET}"
    rf"|(?:is (?:it|this)|are we (?:in|on|at)) {_STILL}(?:the |my |our |their )?(?:command|movement|moving|shooting"
    rf"|charge|fight|fighting) phase{_YET}"
    r"|how (?:many|much)(?: more)? (?:rounds?|turns?|of the game)"
    r"(?: (?:are|is|do|have|has|left|to|go|still|remaining|remain|we|i|they|there|more|got|get|until the end))+"
    r"|(?:what|which) (?:round|turn|phase) (?:are we|is it|is this|now|it is)(?: (?:on|in|at|up to|now))*"
    rf"|when (?:is|will|does|do|comes?)(?: it)? .{{1,40}} (?:turn|go){_YET}"
    rf"|(?:are we|is (?:it|this|the game|the round)) (?:(?:nearly|almost|about|all) )*(?:done|over|finished){_YET}"
)
_LOSSES = re.compile(
    r"(?:how many|what)(?: have| did| has)? (?:i|we|they|you|he|she) (?:lost|lose)"
    r"(?: (?:so far|already|now|there|yet))*"
    r"|what (?:are|were) (?:the|my|our|their) losses(?: so far)?"
)
_NEXT = re.compile(
    r"what (?:happens|comes|is|do (?:we|i) do)(?: next)? after this(?: phase)?|what'?s after this(?: phase)?"
    r"|(?:what|which) phase (?:is|comes)(?: up)? (?:next|after this)|what(?:'s| is) the next phase"
)
_DONE = (
    r"(?:move|moved|advance|advanced|run|ran|shoot|shot|fire|fired|charge|charged|fight|fought|fall back|fell back"
    r"|fallen back|retreat|retreated|act|acted|activated|stay|stayed|do|done|go|gone)"
)
_WHO = re.compile(
    r"(?:who|which (?:unit|units|ones?)(?: of (?:mine|ours|my units|our units))?"
    r"|which of (?:my|our|the) (?:units|lads|men))"
    rf" (?:can|may|could|has|have|hasn't|haven't|did|didn't|is|are|still|must) {_STILL}(?:to |left to |able to )?"
    rf"{_DONE}{_YET}"
)
_ANYONE = re.compile(
    r"(?:did|has|have|is|are|was|were) (?:anyone|anybody|any (?:unit|units|of (?:my|our|the|their) units)|someone"
    rf"|somebody) {_STILL}(?:been )?(?:{_DONE}|engaged|hurt|dead){_YET}"
)
_MAY_I = re.compile(
    r"(?:(?:can|may|could|why (?:can'?t|cannot|may not|mustn't)) (?:i|we)|(?:do|will) (?:i|we) (?:still )?get to)"
    r" (?:still |now |already |not )*"
    r"(?:shoot|fire|charge|fight|move|advance|fall back)(?: (?:now|yet|already|here|this (?:turn|phase)))*"
)
_TAKE_BACK = re.compile(
    r"(?:can|may|could|should) (?:i|we) (?:still )?"
    r"(?:(?:undo|take back)(?: (?:it|that|this))?|take (?:it|that|this) back)"
)
_LEFT = re.compile(
    r"how many (?:of )?(?:(?:my|our) )?(?:models?|men|minis|units|troops)(?: (?:do|have|did|are|has|still) ?(?:i|we)?)*"
    r"(?: (?:have|got|still|lost|lose|died|die|dead|been|slain|killed|left|alive|gone))+"
)
_PAST = (
    r"(?:moved|advanced|run|shot|fired|charged|fought|fallen back|fell back|retreated|acted|activated|stayed|done|gone)"
)
_UNIT = (
    rf"(?:did|didn't) @unit {_STILL}{_DONE}(?: (?!after\b).{{1,40}})?",
    rf"(?:has|have|hasn't|haven't|had|was|were|wasn't|is|are|isn't|aren't) @unit {_STILL}(?:been )?"
    rf"(?:{_PAST}|engaged|hurt|damaged|wounded|alive|dead|slain|destroyed|hit|attacked|lost|here|free|done for"
    rf"|in combat|in melee|in the fight)(?: (?!after\b).{{1,40}})?",
    rf"how (?:many|much) (?:\w+ )?(?:has|have|does|do|did|are|is) @unit {_STILL}(?:got|have|left|alive|lose|lost"
    rf"|standing)(?: (?:got|left|alive|standing|now|still))*",
    r"what (?:did|has|have|is|are) @unit (?:do|done|doing|up to)(?: .{1,30})?",
    r"how far (?:can|may|do|does|could|will) @unit (?:still )?(?:move|go|walk|run|shoot|fire|reach|advance)"
    r"(?: .{1,20})?",
    r"(?:how many|which|what) (?:dice|die|shots?|attacks?)(?: (?:do|does|can|will|should|have|has))? @unit"
    rf" (?:to )?(?:roll|throw|have|has|get|make|need|fire)(?: got)?{_YET}",
    r"(?:who|whom|which (?:unit|units|enemy|enemies)) (?:can|may|could) @unit (?:still )?(?:shoot|fire|charge|fight"
    rf"|attack|reach|hit)(?: at)?{_YET}",
    r"what (?:do|does) @unit (?:need|roll)(?: to (?:hit|wound|save|roll))?(?: on)?",
    r"what(?:'s| is| are) the (?:weapons?|guns?|arms) of @unit",
    rf"(?:who|where|(?:in )?(?:what|which) unit) (?:is|are) @unit(?: (?:in|of|with))?{_YET}",
)
_ACTION = r"(?P<action>shoot|fire|charge|fight|move|advance|fall back)"
_MAY = (
    rf"why (?:can'?t|cannot|can not|may not|mayn't|won't|wont|isn't|aren't) @unit (?:allowed to )?{_ACTION}{_YET}",
    rf"why (?:is|are) @unit (?:units? )?(?:not|n't) (?:able|allowed|permitted) to {_ACTION}{_YET}",
    rf"(?:can|may|could) (?:i|we|you) (?:still )?{_ACTION} with @unit",
    r"(?:can|may|could) (?:i|we|you) (?:still )?(?P<action>move|charge|advance) @unit"
    r"(?: (?:up to )?(?P<inches>\d{1,3}(?:\.\d{1,3})?) ?(?:\"|''|inch(?:es)?|in))?",
)
_MAY_IT = (rf"@unit (?:can|may|could) (?:still )?{_ACTION}{_YET}",)  # only with a question mark
_NEEDS = (r"what (?:do|does) @unit need to (?:hit|wound|kill|hurt) @target",)  # told with the odds
_MUST = (r"(?:must|does|do) @unit (?:have to |need to )?(?P<action>shoot|charge|fight|move|advance|fall back)",)
ASKS = re.compile(
    r"(?:did|didn't|has|hasn't|haven't|had|was|were|wasn't|weren't|is|isn't|are|aren't|do|does|doesn't|don't|when|who"
    r"|whose|which|what|must|how)\b"
)


def state_question(said: Said, context: Context) -> object | None:
    """What is asked of the game that is open here, if it is that."""
    if not context.units:
        return None
    if said.full(_TAKE_BACK):
        return Undo()  # held back, since it asks
    if said.full(TO_ROLL):
        return WhatToRoll()
    if said.full(_MY_TURN) or (said.asks and said.full(_MINE)):
        return WhoseTurn(mine=True)
    whose = said.full(_WHOSE_TURN)
    if whose is not None:
        return WhoseTurn(said.words(whose, "side") or None)
    for pattern, what in ((_SCORE, "score"), (_FIRST, "first"), (_ROUND, "round"), (_LOSSES, "losses")):
        if said.full(pattern):
            return Glance(what)
    if said.full(_MAY_I):
        return WhatNow(mine=True)
    if said.full(_WHO) or said.full(_NEXT):
        return WhatNow()
    if said.full(_ANYONE) or said.full(_LEFT):
        return Units()
    return _of_a_unit(said, context.units, (*_MAY, *_MAY_IT) if said.asks else _MAY)


def _of_a_unit(said: Said, names: tuple[str, ...], may: tuple[str, ...]) -> object | None:
    match = find(said, names, *_UNIT)
    if match is not None:
        return ShowUnit(said.words(match, "unit"))
    match = find(said, names, *may)
    if match is not None:
        action = "shoot" if match["action"] == "fire" else match["action"]
        inches = match.groupdict().get("inches")
        return MayUnit(said.words(match, "unit"), action, distance=float(inches) if inches else None)
    match = find(said, names, *_NEEDS)
    if match is not None:
        return Strike(unit=said.words(match, "unit"), action="attack", target=said.words(match, "target"), odds=True)
    match = find(said, names, *_MUST)
    return None if match is None else CanI(f"must a unit {match['action']}")
