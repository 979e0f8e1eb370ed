"""The patterns by which a question about meaning or rules is told from everything else that people say."""

from __future__ import annotations

import re

PHASES = {
    "command": "command",
    **dict.fromkeys(("movement", "move", "moving", "moves"), "movement"),
    **dict.fromkeys(("shooting", "shoot", "shots", "firing"), "shooting"),
    **dict.fromkeys(("charge", "charging", "charges"), "charge"),
    **dict.fromkeys(("fight", "fighting", "melee", "combat", "fights", "close combat"), "fight"),
}
_NAMES = "|".join(sorted(PHASES, key=len, reverse=True))
_PHASE = rf"(?:the |a |my )?(?P<phase>{_NAMES})"
ANY_PHASE, NAMED_PHASE = rf"{_PHASE}(?: phase)?", rf"{_PHASE} phase"
POLITE = (
    r"\s*(?:(?:please|pls|kindly|sorry|well|hey|hi|hello|ok|okay|so|and|um|umpire|drumhead|quick question|question)"
    r"[,:!]? +)*"
)
CLOSE = r"(?:,? (?:please|pls|thanks|again|then|exactly|actually|anyway))?[\s?.!]*"
WHAT_IS = r"(?:what|wh?at|wot|whta|waht)(?:'?s| is| are| was| iz)"
_NUMBER = r"(?:\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten)s?\b)"


def whole(*ways: str) -> re.Pattern[str]:
    """A message that is one of the ways and nothing else but politeness."""
    return re.compile(f"{POLITE}(?:{'|'.join(ways)}){CLOSE}")


def also(pattern: str, name: str) -> str:
    """The pattern again, its phase under another name, since a name may stand only once."""
    return pattern.replace("<phase>", f"<{name}>").replace("<place>", f"<{name}>")


WHOLE_TURN = whole(
    r"phases?(?: (?:order|list|overview))?",
    r"(?:what are )?(?:the )?phases(?: of (?:a|the) turn)?",
    r"what now|now what|all (?:of )?(?:the )?phases",
    r"(?:list|show|name|give me|tell me)(?: me)?(?: all)?(?: of)?(?: the)?(?: different)? phases(?: in order)?"
    r"(?: (?:of|in) (?:a|the|my) turn)?",
    r"(?:what|which) order (?:do|are) (?:the )?phases(?: go| come| happen| played| done)*(?: in)?",
    r"(?:in )?what (?:is the )?order (?:do|of) (?:the )?phases(?: go| come| happen)?",
    r"(?:what happens in|how does|walk me through|talk me through|explain|what does) (?:a|one|the|my) (?:whole |full )?"
    r"turn(?: work| go| look like)?",
)
OUR_PHASE = whole(r"(?:what|which) phase(?: is it| are we in| is this| now)+")
PLACES = {
    **dict.fromkeys(("first", "1st", "one", "1", "starts", "begins", "opens"), 0),
    **dict.fromkeys(("second", "2nd", "two", "2"), 1),
    **dict.fromkeys(("third", "3rd", "three", "3"), 2),
    **dict.fromkeys(("fourth", "4th", "four", "4"), 3),
    **dict.fromkeys(("fifth", "5th", "five", "5"), 4),
    **dict.fromkeys(("last", "final", "ends", "closes"), -1),
}
_PLACE = rf"(?P<place>{'|'.join(PLACES)})"
_TURN = r"(?: (?:of|in) (?:a|the|my|each|every) (?:turn|game|round))?"
NUMBERED_PHASE = whole(
    rf"(?:{WHAT_IS} |which is |tell me |explain )?(?:the )?{_PLACE} phase{_TURN}(?: called)?",
    rf"(?:what|which) (?:phase )?(?:is|comes|goes|happens) (?:the )?{also(_PLACE, 'when')}(?: phase)?{_TURN}",
    rf"(?:{WHAT_IS} |what do (?:i|we) do )?(?:the )?(?P<thing>first) thing(?: (?:i|we|you|to) do)?{_TURN}",
    rf"(?:{WHAT_IS} )?phase (?:number )?{also(_PLACE, 'number')}",
    rf"(?:which|what) phase {also(_PLACE, 'edge')} (?:a|the|my|each) turn",
)
ONE_PHASE = whole(
    rf"phase[: ]+{ANY_PHASE}",
    also(NAMED_PHASE, "named"),
    r"(?:what|how) (?:do|does|can|may|should|must|happens?|to|is there to)(?: (?:i|we|you|one|a player))?"
    rf"(?: (?:do|happen))? (?:in|during) {also(NAMED_PHASE, 'inside')}",
    rf"how (?:does|do (?:i|we) (?:do|play|run|resolve)) {also(NAMED_PHASE, 'working')}(?: work| go)?",
    r"(?:what (?:are|is) )?(?:the |all )*(?:steps?|order|sequence|procedure) (?:of|in|for|during)"
    rf" {also(NAMED_PHASE, 'steps')}",
    rf"(?:walk|talk|guide|take|lead|run) (?:me|us) (?:through|thru) {also(NAMED_PHASE, 'through')}",
    rf"{also(NAMED_PHASE, 'rundown')} (?:rundown|run-through|summary|overview|step by step|steps|order|procedure"
    r"|checklist)",
    r"(?:what|which|any|common|typical|usual|the)\b[\w' ]*?\b(?:wrong|mistakes?|slips?|errors?|forget|overlook)"
    rf"(?: \w+){{0,3}} (?:in|during|with|about|of) {also(NAMED_PHASE, 'slips')}",
    r"what (?:can|may|should|must|do) ?(?:not|'t|n't)(?: (?:i|we|you|units?|be))? (?:do|done|happen) (?:in|during)"
    rf" {also(NAMED_PHASE, 'barred')}",
    rf"what (?:can|may) (?:i|we|you|units?) not do (?:in|during) {also(NAMED_PHASE, 'denied')}",
    rf"{also(NAMED_PHASE, 'options')}[:,]? (?:what are )?(?:my |our |the )?(?:options|choices|possibilities)",
    rf"(?:describe|explain|outline|summari[sz]e|list) {also(NAMED_PHASE, 'told')}"
    r"(?: (?:step by step|in steps|in order|in detail|for (?:me|us|beginners)))?",
    rf"what (?:can|could|does|may) (?:\w+ )?go wrong (?:in|during) {also(NAMED_PHASE, 'wrong')}"
    r"(?:,? (?:the )?(?:common|usual|typical) \w+)?",
    rf"{also(NAMED_PHASE, 'summed')}(?: steps?| order| sequence| overview| summary| procedure| mistakes| slips)+",
)
_WHICH_PHASE = r"(?:what|which)(?: phase)?"
_THE_PHASE = rf"{WHAT_IS}(?: the)?(?: next)?(?: phase)?"
PHASE_AFTER = whole(
    rf"(?:{_WHICH_PHASE} (?:comes?|is|goes|happens|follows)(?: next)?|{_THE_PHASE}|(?:the |next )?phase)"
    rf" after {ANY_PHASE}",
    rf"{_WHICH_PHASE} follows {also(ANY_PHASE, 'named')}",
    rf"(?:and |so )?after {also(ANY_PHASE, 'asked')},? (?:comes|is|there is|we have|follows|happens|we do|i do|next)"
    r"(?: what| which| the| phase| next)*",
    rf"what (?:do|does|should|must) (?:i|we|you|one|a player) do(?: next)? after {also(ANY_PHASE, 'done')}",
    rf"what happens(?: next)? after {also(NAMED_PHASE, 'over')}",
    rf"after {also(ANY_PHASE, 'first')},? (?:what|which|which phase|what phase)"
    r"(?:'?s| is| comes| happens| follows)*(?: next| now| then)?",
    r"(?:(?:i|we)(?:'m| am|'ve| have|'re| are)? (?:just )?|ok(?:ay)? )?(?:finished|done|through)(?: with)?"
    rf" {also(ANY_PHASE, 'done_with')}[,.;!]? (?:and |so )?"
    r"(?:what(?:'?s| is| comes| now| happens| do (?:i|we) do)*|now)"
    r"(?: next| now| then)?",
    rf"{also(ANY_PHASE, 'ended')} (?:is |are )?(?:all )?(?:done|finished|over|complete|ended)[,.;:]?"
    r"(?: (?:and|so|now|ok))*(?: what(?:'?s| is| comes)?)? (?:next|now)",
    rf"after {also(ANY_PHASE, 'just')}",
    rf"(?:finished|done)(?: with)? {also(ANY_PHASE, 'next_up')}[,.;!]? (?:what'?s )?next",
)
PHASE_BEFORE = whole(
    rf"(?:and |so )?before {also(ANY_PHASE, 'asked')},? (?:comes|is|there is|we have|we do|i do)"
    r"(?: what| which| the| phase)*",
    rf"(?:{_WHICH_PHASE} (?:comes?|is|goes|happens)|{_THE_PHASE}|(?:the )?phase) before {ANY_PHASE}",
    rf"before {also(ANY_PHASE, 'named')},? (?:comes?|is) (?:what|which)(?: phase)?",
)

HOUSE_RULES = whole(r"(?:(?:show|list) )?(?:our |the )?house ?rules")
NEXT_LESSON = whole(r"(?:the )?(?:next|another) lesson", r"teach (?:me|us)", r"lesson")
FIRST_LESSON = whole(
    r"(?:the )?(?:first lesson|lesson (?:1|one))", r"(?:start|begin) (?:the )?lessons?(?: again| over)?"
)
LESSON_AGAIN = whole(r"(?:the )?(?:same |last )?lesson again", r"repeat (?:the )?lesson")
RULESETS = whole(
    r"rules|rule ?sets?",
    r"(?:which|what) (?:rules|rulesets)(?: are there| do you know)?",
    r"list (?:of )?rules(?:ets)?",
)
CHOOSE_RULES = whole(
    r"(?:rules|ruleset|use(?: the)?(?: rules| ruleset)|play(?: by)?(?: the)? (?:rules|ruleset))[: ]+"
    r"(?P<name>(?!(?:of|for|about|on|in|and|to)\b)[\w -]+?)(?: rules| ruleset)?"
)
LOOK_UP = (
    whole(
        rf"{WHAT_IS} meant by (?P<a>.+?)",
        r"(?:what|wat) (?:does|do|did) (?P<b>.+?) (?:mean|stand for)(?: (?:on|in|here|at|for) [\w ]+)?",
        r"(?:the )?meaning of (?P<c>.+?)",
        r"(?P<d>[^?]+?) meaning",
    ),
    whole(rf"(?:(?:can|could) you )?(?:explain|tell me)(?: me)?,? {WHAT_IS} (?P<a>.+?)"),
    whole(r"(?:(?:can|could) you )?(?:explain|tell me)(?: to me| me)?,? what (?P<a>.+?) (?:is|are|means?)"),
    whole(
        r"(?:explain|define|describe|tell me about|look up|lookup|glossary)(?: to me| me)?[: ]+(?P<a>.+?)(?: to me)?"
    ),
    whole(rf"{WHAT_IS} (?P<a>.+?)"),
)
# A name and nothing else behind "what is", or before "what is that".
MEANING = re.compile(
    rf"{POLITE}(?:{WHAT_IS}|(?:(?:can|could) you )?(?:explain|define|describe|tell me)(?: to me| me)?(?: what| about)?)"
    r" (?P<name>[^?!]{1,60}?)(?: is| are| means?)?[\s?.!]*"
)
MEANING_LAST = re.compile(
    rf"{POLITE}(?P<name>[^?!]{{1,40}}?)[\s,.:;?!-]+(?:{WHAT_IS} (?:that|it|this|they|those|these)"
    r"(?: mean| for| stand for)?"
    r"|(?:what|wat|wot) (?:does|do) (?:it|that|this|they|these|those)"
    r"(?: (?:number|value|stat|word|thing|letter|rule)s?)? (?:mean|do|stand for|tell me|say)"
    r"|(?:is|are|means?) (?:what|wat)(?: (?:then|exactly|again|now|please))?)[\s?.!]*"
)
# A bid, whose words are a name too; with a question mark they ask for the name.
ROLLS_A_CHARGE = whole(r"roll (?:(?:a|the|my|our|their) )?charge(?: (?:now|for (?:me|us)))*")
# Two names told apart.
DIFFERENCE = re.compile(
    rf"{POLITE}(?:(?:{WHAT_IS}|tell me|explain) )?(?:the )?diff[a-z]*(?: between| of)? (?P<a>[^?!]{{1,40}}?)"
    r" (?:and|&|or|vs\.?|versus|to|from) (?P<b>[^?!]{1,40}?)[\s?.!]*"
)
VERSUS = re.compile(
    rf"{POLITE}(?P<a>[^?!,]{{1,40}}?) (?:vs\.?|versus|v) (?P<b>[^?!,]{{1,40}}?)"
    r"(?:[, -]+(?:what'?s|what is) the diff(?:erence)?[\s?.!]*|[\s.!]*)"
)
DIFFERENCE_LAST = re.compile(
    rf"{POLITE}(?P<a>[^?!,]{{1,40}}?) (?:and|or|&|vs\.?|versus|v) (?P<b>[^?!,]{{1,40}}?)"
    r"[, -]+(?:(?:what'?s|what is) )?(?:the )?diff[a-z]*[\s?.!]*"
)
# What opens a look-up, whatever words stand before the name and behind it.
LOOKS_UP = re.compile(
    rf"{POLITE}(?:(?:can|could|would) (?:you|u|someone|anyone) (?:please |pls )?)?(?:remind|tell"
    r"|explain|explane|explian|give|define|describe|clarify|teach|help me|look|glossary|dictionary"
    r"|(?:the )?(?:definition|meaning|explanation)|what|wat|wot|whta|waht|wht|wut|wtf|i |i'm|im |he |she |they |we |you"
    r" |any idea|no idea|not sure|confused|need|want|info"
    r"|(?:the )?rules? (?:for|of|on|about)|how (?:does|do) .* works?|(?:newbie|noob|dumb|stupid|silly|new|beginner)\b)"
)
OURS = re.compile(r"(?:the|my|our|your|his|her|their) ")
# Words of chance may be looked up too, where no numbers stand beside them.
_OF_CHANCE = r"odds|odds against|expected values?|probability|probabilities|chances?|averages?|likely"
CHANCE = whole(
    rf"(?:explain|define|describe|{WHAT_IS})(?: an?| the)? (?P<a>odds against|expected values?|probability|average)",
    rf"what (?:does|do) (?P<b>{_OF_CHANCE}) mean",
    rf"(?:explain|define|meaning of) (?P<c>{_OF_CHANCE})(?: to me)?",
)
HOUSE_RULE = re.compile(
    r"\s*(?:our )?(?:house|table)[ -]?rule\s*[:,-]?\s+(?P<words>.+?)"
    r"(?:\s*[(,;-]?\s*agreed (?:by|with|between)[: ]+(?P<who>[^()]+?)\)?)?\s*",
    re.DOTALL,
)

# What acts, put as a question: "end turn?", "cut, what is it", "house rule meaning".
_ENDS = (
    r"(?P<bare>end (?:the |my )?(?:turn|round|phase)|next (?:turn|round|phase)|close (?:the )?table|reveal|undo"
    r"|roll[ -]?off)"
)
_ACTS = (
    r"(?P<verb>cut|(?:house|table)[ -]?rules?|call|reveal|undo|roll[ -]?off|correct|audit|recheck|agreed|anyway"
    r"|forget me|end turn|close table|open table)(?: the (?:page|dice|table|turn))?"
)
_ABOUT = (
    rf"(?:and |so )?(?:{WHAT_IS} (?:that|it|this)(?: (?:about|for|mean|all about|thing))?"
    r"|what (?:does|do) (?:it|that|this) (?:mean|do)"
    r"|(?:the )?(?:meaning|means|definition|explanation|explained)|how (?:does|do) (?:it|that|this) work)"
)
VERB_ALONE = re.compile(rf"{POLITE}{_ENDS}\s*\?+\s*")
VERB_ASKED = whole(rf"{_ACTS}[\s,:;.-]+{_ABOUT}")

# A question by its first word.
OPENS = re.compile(
    rf"{POLITE}(?:can|cant|cannot|could|couldn|may|might|am|is|isn|isnt|are|aren|arent|do|dont|don|does|doesn|doesnt"
    r"|did|will|won|wont|would|must|mustn|need|has|have|if|when|once|after|before|who|whos|whose|where|why|how|what"
    r"|whats|wat|wot|which|while|having)\b"
)
# A question behind a statement, or behind "at which point …".
TURNS = re.compile(
    r"[,.;:!-] ?(?:so |and |then |but |now )?"
    r"(?:can|may|could|am|is|are|do|does|did|will|would|must|have|has|what|which|who|how)"
    r" (?:i|we|it|that|this|he|she|they|you|a|an|the|my|our|its|his|one|any|there|\d+)\b"
    r"|[,.;:!-] ?(?:so |and |then |but )?(?:does|can|may|must) \w+ \w+"
    r"|\b(?:is (?:it|that|this) (?:enough|allowed|legal|ok|okay|fine|possible)"
    r"|does (?:it|that) (?:work|count|hit|wound))\s*\?*$"
    r"|^(?:with|in|behind|after|while|when) (?:\w+ ){1,4}?(?:can|may|does|do|must) (?:i|we|my|our|the|a|an|it|he|his)\b"
    r"|\b(?:is|are) (?:the same|different|equal)\s*\?+$"
    r"|^(?:(?:the|a|whats|what's|what is) )*(?:word|name|term)s? for\b|\b(?:is|are) (?:called|named)\s*\?*$"
    r"|^(?:at|from) (?:exactly |just )?\d[^?]{0,50}? (?:is|am|do|does|can|may) (?:i|we|my|our|a|an|it|the|he)\b"
    r"|^(?:in|at|on|to|from|by|for|under) (?:which|what|whose|who)\b"
    r"|^(?:in|during|after|before|against|without) (?:\w+ ){1,5}?(?:which|what|who|how|when) [a-z]"
)
# A question by what it asks for.
ALLOWS = re.compile(
    r"\b(?:allowed|allow|allowable|legal|illegal|permitted|forbidden|prohibited|against the rules|possible"
    r"|is it (?:ok|okay|possible)|may i|can i|can we|may we|must i|do i|how (?:much|many|far))\b"
    r"|\b(?:ok|okay|fine|cool)\s*\?"
)
# "I rolled a 1 to hit but I have +1, does it hit": a face told of, and a question about it.
THROWN = re.compile(
    rf"{POLITE}(?:if |when )?(?:i|he|she|we|they|my \w+)(?: have| had| just|'ve)* (?:rolled?|rolls|threw|thrown|got)"
    r" (?:an? )?(?:natural |unmodified )?(?:1|6|ones?|six(?:es)?)s?\b(?! inch)[^?]*"
    r"\b(?:do|does|is|did|will|would|am|can|has) (?:it|that|this|i|he|they|the)\b[^?]*\??\s*"
)
NOT_THROWN = re.compile(
    r"\b(?:auto\w*|odds|chances?|probability|likely|likelihood|probable|reckon|expected|on average)\b"
)
# Chances, needed numbers and whole attacks are reckoned by others.
RECKONED = re.compile(
    r"\b(?:odds|chances?|probability|likely|likelihood|probable|should (?:i|we)|better to|reckon|expected|on average)\b"
    r"|\b(?:from|at) \d+(?:\.\d+)?\"? with m ?\d|\bdice fair\b|\bwho rolled\b"
    # from here on each way is tried once, from the beginning: the first of a word serves as well as any later one
    rf"|^(?>.*?\bwhat\b)(?>.*?\bneeds?\b).*{_NUMBER}|^\D*\d.*\bneeds?\b|^(?>.*?\bneeds?\b).*\b[st]\d"
    r"|^(?>.*?(?<![d\d])\d+ (?:attacks|shots|dice hit|models? (?:with|shoot|fight))).*\d"
    r"|^\s*wh(?>.*?\bs ?\d+\b).*\bt ?\d+\b"
)
STATISTIC = re.compile(r"\b(?:s|t|ap|w|bs|ws|sv|strength|toughness)[ -]?\d|\d\+|\d+ (?:shots|attacks|models|dice)")
# The table's own affairs.
TABLE = re.compile(
    rf"{POLITE}(?:where (?:are|were|do|did) we.*|whose (?:turn|go|phase)(?: is it)?.*"
    r"|(?:which|what) (?:turn|round|phase|side)(?: is it| are we in| is this| now)+"
    r"|what(?:'?s| is)? (?:next|left|going on|there (?:left )?to do|happened.*|happens (?:now|next)"
    r"|the (?:state|status|situation|position|score)(?: now)?)"
    r"|what (?:can|may|should|do|must|could) (?:i|we)(?: still)? do(?: now| next| here| this (?:phase|turn))?"
    r"|what did i miss|how (?:do|did|does) (?:things|it|we) (?:stand|go).*"
    r"|who(?:'?s| is| are) (?:up|on|next|winning|left|alive|still (?:left|alive))|who won|why|what now for .*)[\s?.!]*"
)
NOW = whole("what now", "now what", "phase")
QUOTED = re.compile(r"^[\"'“‘](.+)[\"'”’]$")

# What is left of all families: words that ask, wherever they stand, and numbers that are of an attack after all.
LONGEST_LAST = 200  # characters
ASKS_ANYWHERE = re.compile(
    r"\b(?:what|which|who|whose|how|why|when|where|is it called|what's it called"
    r"|(?:can|may|could|must|do|does|did|should) (?:i|we|they|it|he|she|you|the|my|our|their)"
    r"|or (?:for )?(?:per|each|every)|once (?:per|for)|round (?:it )?(?:up or down|down or up)|(?:first|up|down) or"
    r"|or (?:not|first|last))\b"
    r"|^(?:is|are|am|do|does|can|may|must|could)\b|(?<!\bbe )\b(?:ok|okay|allowed|legal|fine)\s*$"
)
LOST = re.compile(r"don't understand|says nothing|contradict")  # complaints of a reader that it is not for
WHAT_HAPPENS = re.compile(r"\bwhat happens(?: then)?\s*\?*$")
# "2+ armour in cover is a 1+ save?": numbers of a save and of nothing else.
OF_A_SAVE = re.compile(
    r"^(?!.*\b(?:[st] ?\d|hits?|wounds?|bs|ws|attacks?|shots?|roll|models?)\b).*\b(?:save|armou?r|cover)\b"
)
COUNTED = re.compile(r"\b(?:\d+|\d*d\d+) (?:shots?|attacks?|dice|hits?|models?)\b(?!.*\?)")
