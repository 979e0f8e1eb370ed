"""Talking about talking: help, and which words a table calls its own.

words = "words" | "forget the word" WORD
help  = "help" [topic]
"""

from __future__ import annotations

import re

from bot.reading.context import Context
from bot.reading.message import Message
from bot.requests.words import CallWord, Help, Words

_HELP = re.compile(
    r"(?:\W|please|can you|could you|i need|some|me)*(?:help(?: me)?(?: (?:with|on"
    r"|about))?(?P<topic> [a-z][a-z -]{1,30}?)?"
    r"|what can (?:you|i|we) (?:do|ask|say|type)|how does (?:this|it) work|what do you (?:do|understand)|commands"
    r"|(?:how|where) (?:do|should|can|would) (?:i|we) (?:start|begin|get started)(?: here| with this)?"
    r"|how (?:do|does|can|should) (?:i|we|you|1|one) play(?: (?:this|it|the game|this game|here))?"
    r"|how is (?:this|it) played"
    r"|what is this|who are you|how do i (?:use (?:this|you|it)|talk to you)"
    r"|(?:hi|hello|hey|good (?:evening|morning|afternoon))(?: (?:there|umpire|drumhead|all|everyone|everybody))?)"
    r"(?: please)?[ .?!]*"
)
_SHOW = re.compile(r"\W*(?:please )?(?:show (?:me )?)?(?:the |our |my |your )?(?:own )?words(?: please)?[ .?!]*")
_FORGET = re.compile(r"\s*forget (?:the )?word (?P<word>.*\S)\s*", re.DOTALL)


def words_family(message: Message, context: Context) -> object | None:
    """Help, a table's own words, or one of them given up."""
    plain = message.plain
    if _SHOW.fullmatch(plain):
        return Words()
    help_ = _HELP.fullmatch(plain)
    if help_ is not None:
        return Help((help_["topic"] or "").strip() or None)
    forget = _FORGET.fullmatch(plain)
    return None if forget is None else CallWord(forget["word"].strip("\"' "), None)
