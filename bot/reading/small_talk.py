"""Words that are said to the umpire and ask for nothing, and the plain words of a dispute.

remark  = "thanks" | "good game" | "good bot" | "ok" | "?" and the like, as whole messages
dispute = "we disagree" ["about" …] | ["I want to"] "dispute" ["#" N]
"""

from __future__ import annotations

import re

from bot.reading.message import Message
from bot.requests.talk import Dispute, Remark

LONGEST = 60  # characters
THANKS, WELL_PLAYED, PRAISE, NOD, PUZZLED = "thanks", "good game", "good bot", "ok", "?"
_FINE = r"(?:ok|okay|great|nice|cool|lovely|perfect|brilliant|awesome|good|oh|ah|wow|yay)"
_YOU = r"(?: (?:bot|umpire|drumhead|mate|all|everyone|both|guys|friend|man|buddy))*"
_REMARKS = tuple(
    (words, re.compile(rf"\W*(?:{pattern})[\s.!:;)(*<3-]*"))
    for words, pattern in (
        (
            THANKS,
            rf"(?:{_FINE}[ ,.!]+)*(?:many thanks|thanks|thank you|thank u|thx|tnx|ty|tysm|cheers|ta)"
            r"(?: (?:so much|very much|a lot|a bunch|a million|again|for (?:that|this|(?:the|your) help|helping)))*"
            rf"{_YOU}",
        ),
        (WELL_PLAYED, rf"gg(?:[ ,]*wp)?|wp|(?:good|great|nice|fun) (?:game|match)|well played{_YOU}"),
        (
            PRAISE,
            r"(?:good|nice|great|clever|best|lovely) (?:bot|umpire|job|work)|well done|nice one"
            r"|(?:you're|you are) (?:great|the best|awesome|good|brilliant)",
        ),
        (
            NOD,
            rf"{_FINE}(?:[ ,.!]+{_FINE})*{_YOU}|(?:nice|good|great|bad|ouch|wow)[ ,!]*(?:roll|shot|dice|shooting)"
            r"|k|kk|lol|haha+|hehe+|phew|ouch|oops|hm+|i see|got it|understood|makes sense|alright|all right|sorry"
            r"|(?:please )?(?:wait|hang on|hold on|one moment|just a (?:moment|second|sec|minute)|brb)",
        ),
        (PUZZLED, r"(?:\?+ ?)+|huh\??|eh\??|um+\??|er+\??"),
    )
)
_QUESTION_MARKS = re.compile(r"[\s?!]*\?[\s?!]*")
_DISPUTE = re.compile(
    r"\W*(?:please )?(?:(?:i|we) (?:want to|wish to|would like to|'d like to|must|have to) )?"
    r"(?:dispute|contest|challenge|question)"
    r"(?: (?:(?:the |that |this )?(?:roll|attack|entry|result|number)|that|it|this))?"
    r"(?: ?(?:# ?|no\.? ?|number )?(?P<entry>\d{1,9}))?[\s.!]*"
    r"|\W*we (?:still )?(?:disagree|(?:can't|cannot|can not|don't|do not) agree|are not agreed|aren't agreed|differ)"
    r"(?: (?:about|on|over|with) .{1,80}?)?[\s.!]*"
)


def small_talk(message: Message) -> Remark | Dispute | None:
    """What the whole message says, if it is nothing else."""
    plain = message.plain
    if len(plain) <= LONGEST:
        for words, pattern in _REMARKS:
            if pattern.fullmatch(plain) is not None and (words == PUZZLED or any(map(str.isalpha, plain))):
                return Remark(words)
        if _QUESTION_MARKS.fullmatch(plain) is not None:
            return Remark(PUZZLED)
    dispute = _DISPUTE.fullmatch(plain)
    if dispute is None:
        return None
    return Dispute(int(dispute["entry"]) if dispute["entry"] else None)
