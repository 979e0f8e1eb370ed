"""Questions about meaning and rules.

    look-up  = "what is" X | "what does" X "mean" | "explain" X | "define" X | X "?"
    phase    = "phase" [PHASE] | "what comes after" PHASE | "what now" | "what do I do in the" PHASE "phase"
    ruling   = a question that opens with can, may, do, is, who, how, what happens …, or asks what is allowed
    own      = "house rule:" WORDS ["(agreed by" NAMES ")"] | "house rules"
    teaching = "next lesson" | "lesson again" | "rules" [NAME]

Numbers of an attack, chances and the table's own affairs belong to other families and are left alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from bot.misread import Misread
from bot.reading.context import Context
from bot.reading.message import Message
from bot.requests.questions import CanI, HouseRule, HouseRules, NextLesson, Phase, Rules, WhatIs

Build = Callable[[re.Match[str], str], object]

PHASES = {
    "command": "command",
    **dict.fromkeys(("movement", "move", "moving", "moves"), "movement"),
    **dict.fromkeys(("shooting", "shoot", "shots", "firing"), "shooting"),
    **dict.fromkeys(("charge", "charging", "charges"), "charge"),
    **dict.fromkeys(("fight", "fighting", "melee", "combat", "fights", "close combat"), "fight"),
}
_PHASE = rf"(?:the |a |my )?(?P<phase>{'|'.join(sorted(PHASES, key=len, reverse=True))})(?: phase)?"
_NAMED_PHASE = rf"(?:the |a |my )?(?P<phase>{'|'.join(sorted(PHASES, key=len, reverse=True))}) phase"
_POLITE = r"\s*(?:(?:please|pls|hey|hi|hello|ok|okay|so|and|um|umpire|drumhead|quick question|question)[,:!]? +)*"
_CLOSE = r"(?:,? (?:please|pls|thanks|again|then|exactly|actually|anyway))?[\s?.!]*"

_WHAT_IS = r"(?:what|wh?at|wot|whta|waht)(?:'?s| is| are| was| iz)"
_FRAMES: tuple[tuple[str, Build], ...] = (
    (r"phases?(?: (?:order|list|overview))?|(?:what are )?(?:the )?phases(?: of (?:a|the) turn)?", lambda m, t: Phase()),
    (r"what now|now what", lambda m, t: Phase()),
    (rf"phase[: ]+{_PHASE}|{_NAMED_PHASE.replace('<phase>', '<named>')}", lambda m, t: _phase(m)),
    (
        rf"(?:(?:what|which)(?: phase)? (?:comes?|is|goes|happens|follows)(?: next)?|{_WHAT_IS}(?: the)?(?: next)?(?: phase)?)"
        rf" after {_PHASE}|(?:what|which)(?: phase)? follows {_PHASE.replace('<phase>', '<named>')}",
        lambda m, t: _phase(m, 1),
    ),
    (
        rf"(?:(?:what|which)(?: phase)? (?:comes?|is|goes|happens)|{_WHAT_IS}(?: the)?(?: phase)?) before {_PHASE}",
        lambda m, t: _phase(m, -1),
    ),
    (
        rf"(?:what|how) (?:do|does|can|may|should|must|happens?|to|is there to)(?: (?:i|we|you|one|a player))?(?: (?:do|happen))?"
        rf" (?:in|during) {_NAMED_PHASE}|how does {_NAMED_PHASE.replace('<phase>', '<named>')} work"
        rf"|(?:what are )?(?:the )?(?:steps|order) (?:of|in|for) {_NAMED_PHASE.replace('<phase>', '<third>')}",
        lambda m, t: _phase(m),
    ),
    (r"house ?rules|(?:show|list) (?:our |the )?house ?rules", lambda m, t: HouseRules()),
    (r"(?:the )?(?:next|first|another) lesson|teach me|lesson|teach us", lambda m, t: NextLesson()),
    (r"(?:the )?(?:same |last )?lesson again|repeat (?:the )?lesson", lambda m, t: NextLesson(again=True)),
    (r"rules|rule ?sets?|(?:which|what) (?:rules|rulesets)(?: are there| do you know)?|list (?:of )?rules(?:ets)?", lambda m, t: Rules()),
    (
        r"(?:rules|ruleset|use(?: the)?(?: rules| ruleset)|play(?: by)?(?: the)? (?:rules|ruleset))[: ]+(?P<name>[\w -]+?)(?: rules| ruleset)?",
        lambda m, t: Rules(_typed(m, t, "name")),
    ),
    (
        rf"{_WHAT_IS} meant by (?P<x>.+?)|(?:what|wat) (?:does|do|did) (?P<y>.+?) mean|(?:the )?meaning of (?P<z>.+?)|(?P<v>[^?]+?) meaning",
        lambda m, t: _what_is(m, t),
    ),
    (r"(?:explain|define|describe|tell me about|look up|lookup|glossary)(?: to me| me)?[: ]+(?P<x>.+?)(?: to me)?", lambda m, t: _what_is(m, t)),
    (rf"(?:(?:can|could) you )?(?:explain|tell me)(?: me)?,? {_WHAT_IS} (?P<x>.+?)(?: is| are)?", lambda m, t: _what_is(m, t)),
    (rf"{_WHAT_IS} (?P<x>.+?)", lambda m, t: _what_is(m, t)),
)
_READERS = [(re.compile(f"{_POLITE}(?:{frame}){_CLOSE}"), build) for frame, build in _FRAMES]

_QUOTED = re.compile(r"^[\"'“‘](.+)[\"'”’]$")
_NOW = re.compile(rf"{_POLITE}(?:what now|now what|phase){_CLOSE}")
_HOUSE_RULE = re.compile(
    r"\s*(?:our )?(?:house|table)[ -]?rule\s*[:,-]?\s+(?P<words>.+?)"
    r"(?:\s*[(,;-]?\s*agreed (?:by|with|between)[: ]+(?P<who>[^()]+?)\)?)?\s*",
    re.DOTALL,
)
_OPENS = re.compile(
    rf"{_POLITE}(?:can|cant|cannot|could|couldn|may|might|am|is|isn|isnt|are|aren|arent|do|dont|don|does|doesn|doesnt|did|will|won|wont"
    r"|would|must|mustn|need|has|have|if|when|once|after|before|who|whos|whose|where|why|how|what|whats|wat|wot|which|while|having)\b"
)
# A question behind a statement, or behind "in cover, …", "at which point …".
_TURNS = re.compile(
    r"(?:[,.;:!-] ?(?:so |and |then |but |now )?(?:can|may|could|am|is|are|do|does|did|will|would|must|have|has|what|which|who|how)"
    r" (?:i|we|it|that|this|he|she|they|you|a|an|the|my|our|its|his|one|any|there|\d+)\b|^(?:in|at|on|to|from|by|for|under) (?:which|what|whose|who))"
)
_ALLOWS = re.compile(
    r"\b(?:allowed|allow|allowable|legal|illegal|permitted|forbidden|prohibited|against the rules|is it (?:ok|okay|possible)|may i|can i|can we|may we|must i|do i|how (?:much|many|far)|possible)\b"
    r"|\b(?:ok|okay|fine|cool)\s*\?"
)
_NUMBER = r"(?:\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten)s?\b)"
_OTHERS = re.compile(
    r"\b(?:odds|chances?|probability|likely|likelihood|probable|should (?:i|we)|better to|reckon|expected|on average)\b"
    rf"|\bwhat\b.*\bneeds?\b.*{_NUMBER}|\d.*\bneeds?\b|\bneeds?\b.*\b[st]\d"
    r"|(?<![d\d])\d+ (?:attacks|shots|dice hit|models? (?:with|shoot|fight)).*\d|\b(?:from|at) \d+(?:\.\d+)?\"? with m ?\d|^\s*wh.*\bs ?\d+\b.*\bt ?\d+\b"
    r"|\bdice fair\b|\bwho rolled\b"
)
_STATISTIC = re.compile(r"\b(?:s|t|ap|w|bs|ws|sv|strength|toughness)[ -]?\d|\d\+|\d+ (?:shots|attacks|models|dice)")
_TABLE = re.compile(
    rf"{_POLITE}(?:where (?:are|were|do|did) we.*|whose (?:turn|go|phase)(?: is it)?.*|(?:which|what) (?:turn|round|phase|side)(?: is it| are we in| is this| now)+"
    r"|what(?:'?s| is)? (?:next|left|going on|there (?:left )?to do|the (?:state|status|situation|position|score)(?: now)?|happened.*|happens (?:now|next))"
    r"|what (?:can|may|should|do|must|could) (?:i|we)(?: still)? do(?: now| next| here| this (?:phase|turn))?|what did i miss|how (?:do|did|does) (?:things|it|we) (?:stand|go).*"
    r"|who(?:'?s| is| are) (?:up|on|next|winning|left|alive|still (?:left|alive))|who won|why|what now for .*)[\s?.!]*"
)


def questions_family(message: Message, context: Context) -> object | None:
    """The question that the message asks, or None if it is no question about meaning or rules."""
    text = message.plain
    own = _HOUSE_RULE.fullmatch(text)
    if own is not None:
        return _house_rule(own, message)
    if _TABLE.fullmatch(text) or _OTHERS.search(text) or _of_the_table(text, context):
        return None
    for pattern, build in _READERS:
        match = pattern.fullmatch(text)
        if match is not None:
            return build(match, message.text)
    return _opened(message)


def bare_question_family(message: Message, context: Context) -> object | None:
    """Words with nothing but a question mark: a name to look up, or a question put short."""
    words, text = _bare(message), message.plain
    if not words or not text.rstrip().endswith("?") or _of_the_table(text, context):
        return None
    if _OTHERS.search(text) or (_STATISTIC.search(text) and len(words.split()) > 1):
        return None
    return CanI(words) if len(words.split()) > 2 or _ALLOWS.search(text) else WhatIs(words)


def _opened(message: Message) -> object | None:
    """A question that opens like one, or asks what is allowed."""
    text = message.plain.strip()
    long = text.endswith("?") or len(text.split()) > 2
    asks = (_OPENS.match(text) and long) or _ALLOWS.search(text) or _TURNS.search(text)
    return CanI(_bare(message)) if asks else None


def _bare(message: Message) -> str:
    return message.text.strip().rstrip("?!. ")


def _of_the_table(text: str, context: Context) -> bool:
    """With a game open, what is asked about its units and its phase is answered from the table."""
    if context.units and _NOW.fullmatch(text):
        return True
    return any(re.search(rf"\b{re.escape(name.casefold())}\b", text) for name in context.units if name)


def _phase(match: re.Match[str], step: int = 0) -> Phase:
    groups = match.groupdict()
    said = groups.get("phase") or groups.get("named") or groups.get("third") or ""
    return Phase(PHASES[said], step)


def _typed(match: re.Match[str], text: str, group: str) -> str:
    return text[match.start(group) : match.end(group)].strip()


def _what_is(match: re.Match[str], text: str) -> WhatIs:
    group = next(name for name, value in match.groupdict().items() if value)
    return WhatIs(_QUOTED.sub(r"\1", _typed(match, text, group)))


def _house_rule(match: re.Match[str], message: Message) -> HouseRule:
    words = _typed(match, message.text, "words").rstrip(" (,;-")
    if not words:
        raise Misread("which ruling?", hint="house rule: hills give cover (agreed by Ann, Bo)")
    who = _typed(match, message.text, "who") if match["who"] else ""
    names = tuple(name.strip() for name in re.split(r",|\band\b|&", who) if name.strip(" .!"))
    return HouseRule(words, tuple(name.strip(" .!") for name in names))
