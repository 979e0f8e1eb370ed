"""What a message wants, by how it begins: roll, odds, compare, needs; nothing said means reckon it."""

from __future__ import annotations

import re
from enum import StrEnum

from bot.reading.atoms import Line
from bot.reading.filler import POLITE, is_filler
from bot.reading.frames import without_head, without_tail


class Intent(StrEnum):
    """The verbs that an attack can stand behind."""

    ROLL = "roll"
    ODDS = "odds"
    COMPARE = "compare"
    NEEDS = "needs"


_WORDS = "|".join(sorted({*POLITE, "all", "and", "then", "to", "you", "oi", "heya"}, key=len, reverse=True))
_POLITE = (
    rf"(?:(?:quick 1|{_WORDS}|,|!|\"|\.|:|-|(?:can|could|would|will) (?:you|u|ya|i|we|someone|somebody|anyone|anybody)"
    r"|shall we"
    r"|may (?:i|we)(?= (?:please |kindly )?(?:have|get|see|know|roll|throw|attack)\b)|let me|let us"
    r"|(?:would|do) you mind|do you think (?:you|we|i) could|(?:would you )?be (?:so|very) kind(?: as to| and|)"
    r"|i want to|i'd like to|i would like to|we want to|i will|i'll|we'll) )*"
)
_BEGINS: tuple[tuple[Intent, str], ...] = (
    (
        Intent.COMPARE,
        r"(?:compare|(?:tell me |say |know )?(?:which|what|what's)(?: weapon| gun| option| 1)?"
        r"(?: is| would be)? better(?: please)?"
        r"|is it better|would it be better|better)"
        r"(?: to)?(?: (?:do|fire|shoot|roll|use|take|make|have|go with|go for))?(?: [:,])?",
    ),
    (
        Intent.ODDS,
        r"(?:(?:gimme|give|tell|show|get|have|see|do|want|need|know|(?:i|we)(?:'d| would) like)"
        r"(?: me| us)? )?(?:the |my |some )?odds"
        r"(?: of| for| on| that| with)?|calculate|calc|estimate"
        r"|work out"
        r"|(?:the )?(?:average|expected|mean)(?: (?:damage|wound|hit|kills|dead))? (?:of|from|for|with)"
        r"|what (?:do|would|will) (?:i|we) (?:get|do)(?: with| from)?|(?:what|how) about"
        r"|(?:what|how) (?:are|is) (?:the "
        r"|my |our |their )?(?:odds"
        r"|chance|chances|probability|likelihood)(?: of| for| that| with| on)?"
        r"|what's (?:the |my |our )?(?:odds|chance|chances|probability)(?: of| for| that| with| on)?"
        r"|(?:know )?(?:the )?(?:chance|chances|probability)(?: of| for| that| with)?"
        r"|how (?:likely|probable)(?: is| am i to| are we to| that)?"
        r"|(?:(?:tell|show|give)(?: me| us)? |know |see )?what (?:the|my|our|their) (?:odds|chance|chances|probability)"
        r" (?:are|is|would be)(?: of| for| that| with| on| if)?"
        r"|(?:tell me )?how (?:well )?(?:do|does|would|will|did)|tell me(?: how| what| about)?|(?:what )?if"
        r"|should (?:i|we)|reckon|what (?:happens|would happen|will happen|could happen) "
        r"(?:if|with|when)|how (?:good|bad) (?:is|are)|how (?:many|much)"
        r" (?:damage|dead|kills|wound|model|hit|of them)? ?(?:do|does|will|would|can|should|from|with)",
    ),
    (
        Intent.NEEDS,
        r"(?:what|which)(?: (?:number|roll))?(?: (?:do|does|did|would|will|should|is|are))?(?= .*\b(?:need|hit"
        r"|wound|save)\b)"
        r"|what's(?= .*\b(?:hit|wound|save)\b)|need",
    ),
    (
        Intent.ROLL,
        r"(?:(?:(?:have|get|make|do|give me|give us|want|need) )?(?:an? |the )?(?:roll|attack)|(?<=mind )rolling)"
        r"(?: (?:of|for|with|me|this|that|it(?= for)|the dice|the|us|my|our|out|an attack|a(?= charge| roll"
        r"| [0-9.]+ inch)|an(?= advance)))*(?: [:,-])?",
    ),
)
# "Shall I roll it", "can we roll it", "who will roll it": whether to roll is asked, and nobody is bidden to.
WHETHER = (
    r"(?:(?:shall|should|may|might|must|do|will|can|could|would) (?:i|we)"
    r"|who (?:shall|should|can|could|may|will|would|is to|has to|gets to|wants to))(?: (?:just|now|then|please))*"
)
ASKED_ROLL = re.compile(rf"\b{WHETHER} (?:roll|throw|attack)\b")
# In the middle: "… damage 2. What are the odds against T4 …".
_MIDDLE = re.compile(
    r" (?:so |and )?(?:what (?:are|is) (?:the|my|our|their)|what's (?:the|my|our)|any)"
    r" (?:odds|chance|chances|probability|damage)(?= (?:into|against|onto|on|vs|at)\b)"
)
_ENDS = re.compile(
    r" (?:(?:so|and|,|\.|:|-|;) ){0,3}(?:what (?:are|is) (?:the |my |our |their )?(?:odds|chance|chances"
    r"|probability)|what's the (?:odds|chance)"
    r"|what are the chances|what happens|how (?:likely is (?:that|it)|good is (?:that|it)|many (?:will "
    r"|would |do (?:i |we |they )?)?(?:die|dice|dead|kill|fall)"
    r"|does that look|do we do)"
    rf"|{WHETHER} (?:roll|throw) (?:it|that|this|them|those|these)"
    r"|any good|is that (?:any )?good|good idea|worth it|odds|chances)(?: [?!.]){0,5}$"
)
# At the end: "… 5 models. Please roll that!"
_BID = re.compile(
    r"(?<!\bi)(?<!\bwe)(?<!\bwill)(?<!'ll)(?<!\byou)(?<!\bnot)(?<!n't)(?<!\bnever)(?<!\bcannot)"  # told of, not bidden
    r" (?:(?:so|and|now|then|please|can you|could you|will you|let's|[,.;:!?-]) )*(?:roll|throw) "
    r"(?:it|that|this|them|those|these)(?: (?:please|for me|for us|now|then|thanks))*(?: [.!?]){0,3}$"
)
_WHICH = re.compile(
    r" (?:(?:so|and|,|\.|:|-|;|\?) ){0,3}(?:which|what)(?:'s| (?:1 |option |weapon |gun )?(?:is|would be|does|will))"
    r" (?:the )?(?:better|best|do better|more)(?: (?:1|option|choice))?(?: [?!.]){0,5}$"
    r"| (?:so|and|,|\.|:|-|;|\?) (?:so |and )?which (?:1|of (?:them|these|those|the 2))(?: [?!.]){0,5}$"
)
MOST_SENTENCES = 5  # of filler before the verb
LONGEST_ENDING = 80  # characters of a closing question, its marks included
_PATTERNS = tuple((intent, re.compile(f"{_POLITE}(?:{pattern})(?= |$)")) for intent, pattern in _BEGINS)
_SKIP = re.compile(_POLITE)
_STOPS = frozenset([".", "!", "?", ":"])
_COUNTED = re.compile(r"\b[0-9]\S* (?:attack|dice)\b")


def intent_of(line: Line) -> tuple[Intent | None, Line]:
    """What is wanted, and the rest of the line without the words that said so."""
    which = _WHICH.search(line.text, max(0, len(line.text) - LONGEST_ENDING))
    if which is not None and which.start():
        return Intent.COMPARE, _opening(line.part(0, line.index(which.start() + 1)))[1]
    asked = _without_closing_questions(line)
    bid = _BID.search(line.text, max(0, len(line.text) - LONGEST_ENDING)) if asked is line else None
    if bid is not None and bid.start():
        intent, rest = _opening(line.part(0, line.index(bid.start() + 1)))
        return (Intent.ODDS if intent is Intent.ODDS else Intent.ROLL), rest
    body = _without_middle(without_tail(asked))
    intent, rest = _opening(body)
    if intent in (None, Intent.ODDS) or (intent is Intent.NEEDS and _COUNTED.search(rest.text)):
        headless = without_head(rest, intent is not None)
        intent, rest = (intent, rest) if headless is None else (Intent.ODDS, headless)
    return (intent if body is line else Intent.ODDS), rest


def _without_closing_questions(line: Line) -> Line:
    """The line up to the questions at its end; the line itself if there are none."""
    end = len(line.text)
    while asked := _ENDS.search(line.text, max(0, end - LONGEST_ENDING), end):
        end = asked.start()
    return line if end == len(line.text) else line.part(0, line.index(end + 1))


def _without_middle(line: Line) -> Line:
    """The line without a question that stands between the weapon and its target; the line itself if there is none."""
    asked = _MIDDLE.search(line.text)
    if asked is None or not _COUNTED.search(line.text, 0, asked.start()):
        return line
    first, last = line.index(asked.start() + 1), line.index(asked.end() - 1) + 1
    return Line(line.message, (*line.atoms[:first], *line.atoms[last:]))


def _opening(line: Line) -> tuple[Intent | None, Line]:
    """The verb, which may stand behind sentences of filler, and what follows it; else only politeness is skipped."""
    rest = line
    for _ in range(MOST_SENTENCES):
        for intent, pattern in _PATTERNS:
            match = pattern.match(rest.text)
            if match is not None and not _is_noun(rest, match):
                meant = Intent.ODDS if intent is Intent.ROLL and ASKED_ROLL.search(match[0]) else intent
                return meant, rest.part(rest.index(match.end() - 1) + 1, len(rest.atoms))
        ends = _end_of_filler(rest)
        if not ends:
            break
        rest = rest.part(ends, len(rest.atoms))
    match = _SKIP.match(rest.text)
    skipped = rest.index(match.end() - 1) + 1 if match is not None and match.end() else 0
    return None, rest.part(skipped, len(rest.atoms))


def _end_of_filler(line: Line) -> int:
    """Where the first sentence ends, if it is nothing but filler and another follows; else 0."""
    for place, atom in enumerate(line.atoms[:-1]):
        if atom.text in _STOPS:
            return place + 1
        if not is_filler(atom.text):
            return 0
    return 0


def _is_noun(line: Line, match: re.Match[str]) -> bool:
    """Whether the verb was rather "attacks" or "shots", as at the head of a statistic."""
    place = match[0].find("attack")
    if place < 0 or "roll" in match[0][:place]:
        return False
    verb = line.atoms[line.index(match.start() + place)]
    return line.message.text[verb.start : verb.end].lower() != "attack"
