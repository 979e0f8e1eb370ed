"""A name with words round it: "remind me what AP means", "tell me about cover", "M stat", "LOS pls".

wrapped = [politeness] {opening} name {closing}

What is left when every opening and closing is taken away may be a name of the glossary; nothing here knows one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

LONGEST = 120  # characters of a message with a name in it
_WHAT = r"(?:what|wat|wot|whta|waht|wht|wut)"
_IS = r"(?:'?s| is| are| was| were| iz| means?| do| does)"
_WHO = r"(?:i|you|u|we|they|people|players|folks|one)"
_MIND = r"(?:forgot|forget|forgotten|remember|know|understand|get|recall|knew|sure|learnt|learned)"
_CANNOT = r"(?:can't|cant|cannot|can not|can never|don't|dont|do not|never|didn't|have|'ve|am|'m)"
_THAT = r"(?:that|it|this|they|those|these)"
_NEW = (
    r"(?:(?:new|young) (?:lad|lass|guy|girl|one|people|folks|boy|chap|member)s?"
    r"|beginners?|newbies?|noobs?|dummies|learners?|newcomers?|friend|new|new player|kid|child|idiots?)"
)
_OPENINGS = (
    r"please|pls|plz|hey|hi|hello|ok|okay|so|and|um|er|well|sorry|umpire|drumhead|just|actually|again|once more",
    r"(?:(?:quick|newbie|noob|dumb|stupid|silly) )?question|(?:noob|newbie|beginner|new|new player) here",
    r"(?:can|could|would|will) (?:you|u|someone|somebody|anyone)(?= (?:please |pls |quickly |just |briefly )*"
    r"(?:explain|tell|remind|define|describe|clarify|teach|help|give me an? ))",
    rf"{_WHO} (?:(?:always|keep|really|still|totally|just|completely) )*{_CANNOT}? ?(?:not |really )*{_MIND}",
    r"i keep forgetting|i'?m (?:confused|unsure|not clear|not sure|lost) (?:about|on|by|with)|confused (?:about|by)",
    r"not sure|no idea|any idea|i (?:want|need|would like|'d like|wanna|wish) to (?:know|understand|learn|look up|ask)",
    r"(?:someone|he|she|they) (?:said|mentioned)|remind me(?: again)?|(?:tell|teach|give) (?:me|us)|let me know",
    r"help me(?: (?:with|understand))?|explain|explane|explian|define|defin|describe|clarify|look ?up|find",
    r"search(?: for)?|glossary|dictionary|info|information|definition|meaning|explanation|idea|concept|term|word",
    r"abbreviation|acronym|letters?|phrase|expression|rules?|mechanics?|purpose|point|basics|summary|details?|use",
    r"more|about|of|on|for|behind|with|by|in|to me|to us|the|a|an|this|that|exactly(?: is| are| does| do)?|even|called",
    r"(?:tell|teach|give|show|explain to|remind) (?:my|our|the|these) \w+(?: what)?|(?:one|two)[- ](?:line|sentence)"
    r"|short|quick|simple|brief",
    rf"{_WHAT}{_IS} (?:{_WHO}|he|she|it|(?:the|this|that|my|our) \w+|drumhead) (?:mean|means|call|understand)"
    rf" (?:by|with|when {_WHO} say)?",
    rf"{_WHAT}{_IS} (?:meant|called|understood)(?: by| with)?|{_WHAT}(?:'?s| is) (?:the deal|up) with",
    rf"{_WHAT} counts as(?: being)?|{_WHAT}(?: the (?:heck|hell))?{_IS}|{_WHAT} about|{_WHAT}",
    r"wats|whats|wots|wtf(?: is| are| does)?|how(?:'s| is| are| do| does| did)|:|-|,|\.\.+",
)
_CLOSINGS = (
    r"please|pls|plz|thanks|thx|ty|cheers|mate|again|then|exactly|actually|anyway|precisely|really|even|now|here|lol",
    r"means?|meaning|is|are|do|does|was|stands? for|works?|working|function|come from|explained|explanation|explain",
    r"(?:do|does|are|is) (?:they|it|those|these) (?:count|ok|okay|good|valid|legal)|defini?[a-z]*on|my options",
    r"of (?:a|the) (?:roll|dice|die|secret|attack|unit|model|weapon)"
    r"|for (?:a|my|the) (?:class|pupils?|kids?|students?)",
    r"to (?:a|my) (?:\w+ )?(?:year old|class|child|kid|mum|dad|mother|grandma|son|daughter)|vs|same thing",
    r"def|definition|define|defined|described|description|info|rules?|help|summary|basics|in short|quickly|simply",
    r"briefly",
    rf"(?:for|to) (?:me|us)|(?:for|to) (?:(?:a|an|the|my|someone|somebody|complete|total|absolute) )*{_NEW}",
    r"in (?:plain|simple|easy|normal|your own|other|a few|short) (?:words|english|terms|language)",
    r"(?:in|for|at) (?:this|the|a|our) (?:game|rules|table)|in (?:general|short|brief|war ?games?|war ?gaming)",
    r"in (?:tabletop|miniatures?) games?|on (?:my|the|a|this|his|her|its) (?:card|sheet|stat ?line|roster|profile)",
    rf"like i'?m (?:five|5|new)|{_WHAT}(?:'?s| is| are| was| does| do)(?: {_THAT})?|{_WHAT}|how|who|{_THAT}",
    rf"how (?:does|do) {_THAT}|how (?:is|are) {_THAT} (?:done|used|played)",
    r"(?:in|of|on|from) (?:the |a |an |my |our )?(?:dice |game )?(?:record|ledger|book|rulebook|odds|profile"
    r"|stat ?line)",
    r"in (?:dice|game|gaming|maths?) (?:talk|speak|jargon|lingo|terms)|plural|singular|rule called|called",
    r"for|stats?|statistics?|values?|characteristics?|numbers?|things?|stuff|bit|term|word|abbreviation|part",
)
_OPENING = re.compile(rf"(?:{'|'.join(_OPENINGS)})(?=[\s\"'“‘:,.]|$)")
_CLOSING = re.compile(rf"(?<![^\W_])(?:{'|'.join(_CLOSINGS)})$")
# "What does A mean": the verb is no part of the name.
_MEANS = re.compile(rf"{_WHAT} (?:does|do|did) (.+?) (?:mean|means|stand for|stands for|refer to)\b")
_MARKS = " \t\"'“”‘’?!.,;:-"


def names_within(text: str) -> Iterator[str]:
    """What may be the name, the most words first: openings go one by one, and closings behind each."""
    rest = text.strip(_MARKS)
    meant = _MEANS.search(rest[:LONGEST])
    if meant is not None:
        yield meant[1]
    while rest and len(text) <= LONGEST:
        yield from _shortened(rest)
        opening = _OPENING.match(rest)
        if opening is None or not opening.end():
            return
        rest = rest[opening.end() :].lstrip(_MARKS)


def _shortened(rest: str) -> Iterator[str]:
    """The words as they stand, then with one closing after the other taken away."""
    yield rest
    while closing := _CLOSING.search(rest):
        rest = rest[: closing.start()].rstrip(_MARKS)
        if rest:
            yield rest
