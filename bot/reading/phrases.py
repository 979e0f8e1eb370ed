"""The table's phrases that name no unit: opening, seats, phases, where we are, score, agreement, undo, report.

Each row is a pattern and what it means; the first that fits the whole message is taken. `(?P<side>…)` and the
like are names as typed. Rows marked `OPEN` are read so only while a table is open, since they mean something
else without one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from bot.reading.context import Context
from bot.reading.said import NAME, THE, Said
from bot.requests.action import Correct, Undo
from bot.requests.glance import Glance
from bot.requests.table import (
    Agreed,
    BackPhase,
    Close,
    Decline,
    EndTurn,
    Explain,
    ExportRoster,
    FirstTurn,
    Leave,
    LoadRoster,
    NextPhase,
    Open,
    OwnDice,
    Report,
    Rest,
    Score,
    ShowUnit,
    Sit,
    Units,
    WhatNow,
    Where,
    WhoseTurn,
)

Build = Callable[[Said, re.Match[str]], object]

SIDE = rf"{THE}(?P<side>{NAME})"
GAME = r"(?:table|game|match|battle|skirmish)"
OF = r"(?: (?:phase|turn|game|table))?"
AGAINST = re.compile(r"\s+(?:against|versus|vs\.?|v\.?)\s+")
NUMBER = r"#? ?(?P<number>\d{1,9})"
POINTS = r"(?: (?:victory )?points?| vps?)?"


class Phrase(NamedTuple):
    """One way of saying something. `open` limits it to an open table."""

    pattern: re.Pattern[str]
    build: Build
    open: bool = False


def _phrase(pattern: str, build: Build, open: bool = False) -> Phrase:
    return Phrase(re.compile(pattern), build, open)


def _plain(request: object) -> Build:
    return lambda said, match: request


def _side(kind: type[WhatNow | Units]) -> Build:
    return lambda said, match: kind(said.words(match, "side") or None)


def _open(said: Said, match: re.Match[str]) -> object:
    sides = re.split(r"\s+(?:against|versus|vs\.?|v\.?)\s+", said.words(match, "sides"), flags=re.IGNORECASE)
    names = [re.sub(r"^(?:the|my|our)\s+", "", side.strip(" ,:"), flags=re.IGNORECASE) for side in sides]
    if len(names) == 1 and names[0]:
        names = [name.strip() for name in re.split(r"\s*,\s*|\s+and\s+(?:the\s+)?", names[0]) if name.strip()]
    rules = said.words(match, "rules").strip() or None
    return Open(tuple(name for name in names if name), rules)


def _first(said: Said, match: re.Match[str]) -> object:
    return FirstTurn(said.words(match, "side"))


def _score(said: Said, match: re.Match[str]) -> object:
    groups = match.groupdict()
    points = int(groups["points"]) * (-1 if groups.get("sign") == "-" else 1)
    return Score(said.words(match, "side") if "side" in groups else "", points, add=bool(groups.get("sign") or groups.get("add")))


def _number(match: re.Match[str]) -> int | None:
    return int(match["number"]) if match["number"] else None


def _correct(said: Said, match: re.Match[str]) -> object:
    return Correct(_number(match), said.words(match, "change"))


def _end_phase(said: Said, match: re.Match[str]) -> object:
    round = int(match["round"]) if match["round"] else None
    return NextPhase(ends=match["phase"], side=said.words(match, "side") or None, round=round)


def _load(said: Said, match: re.Match[str]) -> object:
    return LoadRoster(said.words(match, "roster"), said.words(match, "side") or None)


def _sit_other(said: Said, match: re.Match[str]) -> object:
    return Sit(said.words(match, "side"), said.words(match, "who"))


_SIDES = rf"(?P<sides>{NAME}(?:\s*,\s*{NAME})*)"
_RULES = (
    r"(?: (?:with|under|using|by|on) (?:the )?"
    r"(?P<rules>(?:(?!\b(?:against|versus|vs|v|and|for|between|of)\b)[\w -])+?)(?: rules?(?:et)?)?)"
)
_TWO = rf"(?P<sides>{NAME} (?:against|versus|vs\.?|v\.?|and) {NAME}|{NAME}(?:\s*,\s*{NAME})+)"
_START = r"(?:open|start|begin|set up|create|make|host|play|have|new)(?: up)?(?: (?:a|the|our|an?other))?(?: new)?"
_MINE = r"(?:(?:my|our) (?:units?|men|models|lads|troops|side|army)|any of (?:my|our) units)"
_HAS = r"(?:is|should be|=|:|now|to|at)"

PHRASES: tuple[Phrase, ...] = (
    _phrase(rf"{_START} {GAME}{_RULES}(?:[:,]| (?:of|for|between)) {_TWO}", _open),
    _phrase(rf"{_START} {GAME}[:,]?(?: (?:of|with|for|between))? {_TWO}{_RULES}?", _open),
    _phrase(rf"{_START} {GAME}{_RULES}?[:,]?(?P<sides>)", _open),
    _phrase(rf"{_START} {GAME}(?: (?:of|for))? {_SIDES}{_RULES}?", _open),
    _phrase(rf"(?:new|play|open|start) {THE}(?P<sides>{NAME} (?:against|versus|vs\.?|v\.?) {NAME}){_RULES}?", _open),
    _phrase(rf"(?P<sides>{THE}{NAME} (?:against|versus|vs\.?|v\.?) {NAME}){_RULES}", _open),
    _phrase(rf"(?:close|end|finish|stop|end of)(?: the| this| our)? {GAME}|{GAME} over|close|the {GAME} is over"
            r"|(?:we are|we're) finished|that's the game", _plain(Close())),
    _phrase(rf"rest|(?:the )?{GAME} rests?|(?:pause|adjourn|rest)(?: the| this| our)?(?: {GAME})?"
            r"|(?:take|have) a break|break|(?:we )?(?:continue|go on|finish|carry on) (?:later|tomorrow|another day|next week)"
            r"|(?:we )?stop (?:here|for (?:today|tonight))|good ?night", _plain(Rest())),
    _phrase(r"where are we(?: now)?|where (?:do|did) we (?:stand|stop|leave off)|where were we|recap|catch me up|table"
            rf"|(?:show |show me )?(?:the )?(?:state|status|situation)(?: of (?:the )?{GAME})?|(?:show (?:me )?)?the table"
            rf"|what(?:'s| is) the (?:state|status|situation|position)(?: of (?:the )?{GAME})?(?: now)?"
            r"|resume|what happened(?: last)?"
            r"|what did i miss|how (?:do things|does it|do we) stand|what(?:'s| is) (?:left|going on)", _plain(Where())),
    _phrase(rf"(?:what(?:'s| is|s| are) )?(?:the |our |my )?scores?(?: of (?:the )?{GAME})?(?: (?:now|so far|at the moment))?|score ?board"
            r"|who(?:'s| is) (?:winning|ahead|leading|in the lead)", _plain(Glance("score"))),
    _phrase(r"show unit (?:the )?(?P<other>.{1,80})", lambda said, match: ShowUnit(said.words(match, "other"))),
    _phrase(r"(?:which|what) (?:turn|go|phase|round) (?:is it|are we in|is on|now)(?: now)?"
            r"|which round|what phase is (?:it|this)", _plain(Glance("round")), True),
    _phrase(r"(?:whose|which|what) (?:turn|go|phase|side)(?:'s turn)? (?:is it|is on|now)(?: now)?|whose (?:turn|go|phase)"
            r"|who(?:'s| is) (?:up|on|next)(?: (?:next|now|then))?|who (?:comes|goes|plays) (?:next|now)", _plain(WhoseTurn()), True),
    _phrase(rf"what now(?: for {SIDE})?|now what", _side(WhatNow), True),
    _phrase(rf"what (?:can|may|should|do|must|could) (?:i|we|{_MINE}) (?:still |now )?(?:do|type|say|send)(?: now| next| here| this (?:phase|turn))*"
            rf"|(?:can|may) (?:i|we|{_MINE}) (?:still |now )?do (?:anything|something)(?: (?:now|else|more|here|yet|this (?:phase|turn)))*"
            rf"|(?:is there )?anything (?:left )?(?:i|we|{_MINE}) (?:can|may) (?:still )?do(?: now)?|(?:what are )?(?:my |our )options",
            _plain(WhatNow(mine=True)), True),
    _phrase(r"what(?:'s| is) next|what next|options|what(?:'s| is) (?:there )?(?:left )?to do|to ?do"
            r"|what (?:can|may) (?:be done|happen) now|what happens (?:now|next)", _plain(WhatNow()), True),
    _phrase(rf"what (?:can|may|should|could) {SIDE} (?:still )?do(?: now| next| this (?:phase|turn))?", _side(WhatNow), True),
    _phrase(rf"(?:(?:list|show)(?: me)?(?: all)? )?(?:the )?(?:units|armies|army lists?|forces)(?: (?:of|for|from) {SIDE})?"
            r"|who(?:'s| is) (?:still )?(?:left|alive|engaged)|(?:my|our) units|casualties|what did (?:each|every) unit do", lambda said, match: Units(
                said.words(match, "side") or None if "side" in match.groupdict() else None)),
    _phrase(rf"(?:(?:list|show)(?: me)? )?{SIDE}'s? units", _side(Units), True),
    _phrase(rf"(?:sit|seat me|sitting|join)(?: down)?(?: (?:with|on|as|at|for|in))?(?: {THE}side of)? {SIDE}(?: side)?",
            lambda said, match: Sit(said.words(match, "side"))),
    _phrase(rf"(?:i|i'm|i am|i'll|i will) (?:be )?(?:play|playing|sit|sitting|take|taking|command|commanding|join|joining|run|running)"
            rf"(?: down)?(?: (?:with|on|as|for|at))? {SIDE}(?: side)?", lambda said, match: Sit(said.words(match, "side"))),
    _phrase(rf"(?:i'm|i am|i'll be|i will be|i'll have|i have) (?:with )?the (?P<side>{NAME})(?: side)?|i'll be (?P<other>{NAME})",
            lambda said, match: Sit(said.words(match, "side") or said.words(match, "other"))),
    _phrase(rf"seat (?P<who>\S+) (?:with|on|at|as|for|in) {SIDE}(?: side)?", _sit_other),
    _phrase(rf"(?P<who>(?!who\b|what\b|which\b|i\b)\S+) (?:sits|plays)(?: (?:with|on|at|as|for))? {SIDE}(?: side)?", _sit_other),
    _phrase(rf"leave(?: (?:the|my|our))?(?: (?:seat|side|{GAME}))?|stand up|get up|i(?:'m| am) (?:leaving|out|off)|i leave"
            r"|give up my seat", _plain(Leave())),
    _phrase(r"(?:unseat|stand down|remove seat of|free the seat of) (?P<who>\S+)", lambda said, match: Leave(said.words(match, "who"))),
    _phrase(rf"(?:load|bring|field)(?: in)?(?: the)?(?: roster)?(?: (?:of|for))? {THE}(?P<roster>{NAME})(?: roster| army| list)?"
            rf"(?: (?:as|for|on) {SIDE})?", _load),
    _phrase(rf"(?:export|save)(?: the| my)?(?: roster)?(?: (?:of|for))? {SIDE}?(?:'s?)?(?: roster)?(?: as yaml)?"
            rf"|(?:show (?:me )?)?(?:the )?roster of {THE}(?P<other>{NAME})",
            lambda said, match: ExportRoster(said.words(match, "side") or said.words(match, "other"))),
    _phrase(r"roll[ -]?off (?:for|to see|to decide)(?: the)? (?:first|who|turn|start|begin).*"
            r"|(?:roll|dice|throw)(?: off| a die)?(?: (?:for|to see|to decide))(?: the)? (?:first turn|who (?:goes|is|starts|begins|plays)(?: first)?|initiative|first|turns?)"
            r"|first turn(?: roll(?:[ -]?off)?)?|roll[ -]?off", _plain(FirstTurn()), True),
    _phrase(rf"(?!who\b|what\b|which\b|how\b){SIDE} (?:go(?:es)?|starts?|begins?|plays?|will go|takes?|has|have|gets?)(?: the)? first(?: turn)?"
            rf"|first turn(?: (?:to|for|is|goes to))? {THE}(?P<other>{NAME})|{THE}(?P<third>{NAME}) (?:begins?|starts?)",
            lambda said, match: FirstTurn(said.words(match, "side") or said.words(match, "other") or said.words(match, "third")), True),
    _phrase(r"(?:i |we )?(?:end|end of|finish|close|finished|finished with|done with)(?: (?:the|my|our|this))?(?: turn)|next turn|pass(?: the)? turn"
            r"|turn (?:over|done|ends)|(?:my|our|the) turn is (?:over|done)|over to (?:you|them)", _plain(EndTurn())),
    _phrase(r"(?:i |we )?(?:end|finish|end of|close)(?: (?:the|this))? round|next round|round over|on to the next round", _plain(EndTurn(whole_round=True))),
    _phrase(r"next|next phase|next step|(?:i |we )?(?:end|end of|finish|finished|finished with|done with|close)(?: (?:the|this|my|our|current))* phase|phase (?:over|done|ends)"
            r"|(?:the|my|our) phase is (?:over|done)|(?:move|carry) on|(?:go |move )?on to the next(?: phase)?|done|pass|proceed|continue"
            r"|(?:i'm|i am|we're|we are) (?:done|ready)(?: here| \w+ing| with \w+)?|nothing(?: (?:more|else))?(?: to do)?|no (?:charges?|shooting|moves?|fights?|fighting)", _plain(NextPhase())),
    _phrase(rf"(?:i |we |i'm |i am |we're |we are )?(?:end|end of|finish|finished|finished with|done with|close)(?: {THE}(?P<side>{NAME})(?:'s?|’s?)| the| my| our)?"
            r" (?P<phase>(?!(?:the|this|my|our|current)\b)[a-z]{3,20}) phase(?: (?:of|in) round (?P<round>\d{1,2}))?", _end_phase),
    _phrase(r"(?:(?:go |move |jump |skip )?(?:on )?to|skip to|start|begin|enter) (?:the |my |our )?(?P<phase>[a-z]+) phase(?: now)?"
            r"|(?:on|go|move on|skip) to (?:the )?(?P<other>command|movement|moving|shooting|charge|charging|fight|fighting)",
            lambda said, match: NextPhase(match["phase"] or match["other"])),
    _phrase(r"back|(?:go|step|phase) back(?: (?:1|a) (?:phase|step))?|back (?:1|a) (?:phase|step)|(?:the )?previous phase|undo (?:the |that |this |last )*phase"
            r"|back to the (?:last|previous) phase|step the phase back|(?:the )?last phase again", _plain(BackPhase())),
    _phrase(rf"(?:(?:my|our) )?score(?:[:,]| {_HAS})* ?(?P<sign>[+-])? ?(?P<points>\d{{1,5}}){POINTS}", _score, True),
    _phrase(rf"(?P<add>i|we)(?: (?:have|just))? (?:scored?|gain(?:ed)?|earn(?:ed)?)(?: another)? \+?(?P<points>\d{{1,5}})(?: more)?{POINTS}", _score, True),
    _phrase(r"(?P<add>i|we)(?: (?:have|just))? (?:get|got)(?: another)? \+?(?P<points>\d{1,5})(?: more)?(?: (?:victory )?points?| vps?)", _score, True),
    _phrase(rf"(?:set )?(?:the )?score(?: (?:of|for))? {SIDE}(?:[:,]| {_HAS})* (?P<sign>[+-])? ?(?P<points>\d{{1,5}}){POINTS}", _score),
    _phrase(rf"(?:set )?(?:the )?score(?: (?:of|for))? {SIDE}(?:[:,]| {_HAS})* (?P<points>\d{{1,5}}){POINTS}(?P<add> more)", _score),
    _phrase(rf"{SIDE} (?P<add>scores?|scored|gets?|got|gains?|gained|earns?|earned|takes?|took|adds?)(?: another)? \+?(?P<points>\d{{1,5}})(?: more)?(?: (?:victory )?points?| vps?)", _score),
    _phrase(rf"{SIDE} (?P<sign>[+-]) ?(?P<points>\d{{1,5}}){POINTS}", _score, True),
    _phrase(rf"(?P<add>give|award|add|grant) {SIDE} (?:another )?(?P<points>\d{{1,5}})(?: more)?(?: (?:victory )?points?| vps?)", _score),
    _phrase(rf"scores?:? {SIDE}[: ]+(?P<points>\d{{1,5}}){POINTS}", _score),
    _phrase(rf"{SIDE} (?P<add>scores?|scored)(?: another)? \+?(?P<points>\d{{1,5}})(?: more)?", _score),
    _phrase(rf"{SIDE} (?:has|have|is at|are at|is on|are on)(?: now)? (?P<points>\d{{1,5}})(?: (?:victory )?points?| vps?)(?: now)?", _score),
    _phrase(rf"(?P<add>add |give |score )?(?P<points>\d{{1,5}})(?: more)? (?:victory )?(?:points?|vps?) (?:to|for) {SIDE}",
            lambda said, match: Score(said.words(match, "side"), int(match["points"]), add=True)),
    _phrase(r"(?:use |allow |we use |our )*(?:own|real|our own|physical) dice[:,]?(?: (?:are|do|may|should))?(?: (?:yes|on|count|allowed|ok|okay|welcome))?", _plain(OwnDice(True))),
    _phrase(r"(?:no (?:own|real) dice|(?:own|real|our own|physical) dice[:,]?(?: (?:are|do|may|should))? (?:no|off|not (?:count|allowed)|don't count|do not count|forbidden))", _plain(OwnDice(False))),
    _phrase(r"explain:?(?: (?:everything|(?:it )?(?:all|fully)|in full|full|more))", _plain(Explain("full"))),
    _phrase(r"explain:? (?:short|briefly|brief|shortly|less|a little)|short explanations?", _plain(Explain("short"))),
    _phrase(r"explain:? (?:off|nothing|none|not)|(?:stop|no|don't|do not) explain(?:ing|ations?)?|no more explanations?", _plain(Explain("off"))),
    _phrase(r"(?:i |we )?agreed?|(?:yes|ok|okay|fine)[, ]+(?:i |we )?agreed?|(?:i |we )?(?:accept|consent)(?:ed)?|granted|fine by (?:me|us)|fair enough|approved?", _plain(Agreed())),
    _phrase(r"(?P<no>not )?agreed?(?: to| with)? ?#(?P<number>\d{1,9})(?:: (?P<what>.+))?",
            lambda said, match: (Decline if match["no"] else Agreed)(_number(match), said.words(match, "what"))),
    _phrase(r"not agreed|(?:i |we )?(?:disagree|object|decline|refuse)d?|(?:i |we )?(?:don't|do not) agree|declined|never ?mind|objection|leave it|forget (?:it|that)|cancel(?: (?:that|it))?|rather not|no,? thanks", _plain(Decline())),
    _phrase(rf"(?:undo|take back|revert)(?: (?:roll|entry|number|no\.?|event))?(?: ?{NUMBER})?"
            rf"(?P<that>(?: (?:that|it|this|(?:the |my |our )?last)(?: (?:roll|one|action|attack|entry|move|thing|shot))?)?)"
            r"|take (?:that|it|this) back|scratch that|take ?back", lambda said, match: Undo(_number(match))),
    _phrase(rf"(?:correct|mend|fix|amend|correction(?: to| of)?)(?: (?:roll|entry|number|no\.?))?(?: ?{NUMBER}|(?: (?:that|it|the last(?: (?:roll|one|attack))?)))?"
            r"(?:[:,]? (?:to|with|was|it was|as|should (?:be|have been|have)))?[:,]? (?P<change>.+)", _correct),
    _phrase(r"(?:that|it|the last (?:roll|one|attack))(?: one)? (?:should (?:be|have been|have had|have)|was really|was actually)[:,]? (?P<change>.+)",
            lambda said, match: Correct(None, said.words(match, "change"))),
    _phrase(r"#(?P<number>\d{1,9}) (?:should (?:be|have been|have had|have)|was really|was actually|was|with|is)[:,]? (?P<change>.+)", _correct),
    _phrase(rf"(?:(?:battle |the |game |give me the |give me a |show (?:me )?the )*(?:battle )?report)|(?:summary|story) of the {GAME}|how did it go|who won", _plain(Report())),
)  # fmt: skip


def phrase(said: Said, context: Context) -> object | None:
    """What the whole message means as one of the phrases, if it is one."""
    for row in PHRASES:
        match = said.full(row.pattern) if context.units or not row.open else None
        if match is not None:
            return row.build(said, match)
    return None
