"""What is hung on a sentence to make a question of it, and so decides what yes means to a "not" inside.

"…, right?", "is it true that …"    whether the sentence is so: yes to "I can't, right?" is "you cannot"
"is it wrong that …", "is it wrong to …" the other way round: yes is "it is wrong"
"is it false that …", "…, is he wrong?"  whether it is not so: yes and no would be taken either way
"…, can I?", "…, isn't it?"         the short question itself: no to "I can't, can I?" is "you cannot"
"""

from __future__ import annotations

import re

from bot.questions.told import told_apart

CONFIRMS, ASKS, DOUBTS, WRONG = "confirms", "asks", "doubts", "wrong"

_SO = r"(?:right|correct|true|so|the case|accurate)"
_SOMEBODY = (
    r"(?:(?:my|our|the|this|a) )?(?:friend|mate|buddy|opponent|brother|sister|dad|son|teacher|rulebook|club|he|she|they"
    r"|someone|somebody|people|everybody|everyone|one player|other player|other guy"
    r"|(?!(?:who|what|which|nobody|how|that|it|tape|ruler|dice|die)\b)\w+)"
)
_HELD = r"(?:says?|said|claims?|claimed|thinks?|insists?|reckons?|believes?|tells me|told me|swears|argues)"
_LEADS = re.compile(
    r"^\s*(?:(?:hey|hi|so|ok|okay|and|but|wait|um|umpire|drumhead|well)[,:!]* +)*"
    rf"(?:(?:is|isn't|is not) it (?:really )?(?:not )?{_SO} that"
    rf"|am i {_SO} (?:that|(?:in thinking|to think)(?: that)?)"
    r"|just (?:to (?:confirm|check|be sure|be clear)|checking|confirming)[,:]?(?: that)?"
    r"|correct me if i(?:'m| am) wrong[,:]?(?: but)?|do i (?:understand|get it) (?:correctly |right )?that"
    r"|i (?:think|thought|guess|believe|suppose|assume|assumed|understand|heard|read|was told|take it)(?: that)?"
    rf"|{_SOMEBODY} {_HELD}(?: that)?)[,:]? +(?=\S+ \S+)"
)
_CONFIRMED = re.compile(
    rf"(?<![,;.:? -])[,;.:? -]+(?:or )?(?:(?:is|isn't|was) (?:that|this|it) (?:really )?{_SO}"
    r"|(?:is|was) (?:he|she) (?:right|correct)"
    rf"|are they (?:right|correct)|am i {_SO}(?: here| there)?|that(?:'s| is) {_SO}|is that it|{_SO}|yeah|yes|eh|no"
    r"|(?:right|true|yes) or (?:wrong|false|no)|agreed)[\s?!.]*$"
)
_DOUBTED = re.compile(
    r"\b(?:is|isn't|am|are|was) (?:it|that|this|i|we|he|she|they|my \w+) (?:really |then |just )?(?:not )?"
    r"(?:false|wrong|untrue|incorrect|mistaken|a (?:myth|lie|mistake))\b|\bnot (?:true|so|the case) that\b"
    r"|[,;.] (?:false|wrong|untrue)[\s?!.]*$"
)
_WRONGS = re.compile(
    r"(?:^|(?<=[,.;] ))(?:so |and |but |then )?(?:is|isn't|isnt|would|wouldn't) (?:it|that) (?:be )?(?:really |just )?"
    r"(?:wrong|incorrect|a mistake) (?:that|to|if|when|for (?:me|him|us|them|her) to) (?=\S+ \S+)"
)
_CLAIMED_WITHIN = re.compile(rf"\b(and |but |now )(?:he|she|they|(?:my|the|our) \w+) (?:now )?{_HELD}(?: that)? ")
_CLAIMED_BEHIND = re.compile(rf"[, ]+(?:he|she|they|(?:my|the|our) \w+) (?:now )?{_HELD}$")
_AUX = r"(?:is|are|am|can|could|may|might|do|does|did|will|would|must|has|have|should|was|were)"
_WHO = r"(?:it|i|we|he|she|they|you|that|this|there)"
_TAG = rf"(?:{_AUX}(?:n'?t)? {_WHO}(?: not)?|can'?t {_WHO}|cannot {_WHO}|ain'?t {_WHO}|aren'?t i|innit)[\s?!.]*$"
_BEHIND_COMMA = re.compile(rf"[,;.?-]\s*(?:or )?{_TAG}")
_BEHIND = re.compile(rf"\s{_TAG}")
_DENIES = re.compile(
    r"n't\b|\bnot\b|\bcannot\b|\b(?:cant|dont|doesnt|didnt|hasnt|havent|wasnt|wont|isnt|arent|mustnt|never)\b"
)
_ASKED = re.compile(r"^(?:who|what|which|where|why|how|whether|if|can|could|may|do|does|did|is|are|am|will|must|has)\b")
_MEANS = re.compile(r"\b(?:does|do|would|will)(?:n't)? (?:that|this|it) mean(?: that)?,? ")
_DOES_MEAN = re.compile(r"^(?:so |and |ok )?(?:does|do|would) (?P<this>(?:\w+ ){1,4}?)means?(?: that)? (?=\S+ \S+)")
_DOING = re.compile(r"\w+ing\b|(?:an? )?(?:advance|charge|fall)")
_LAST_CLAUSE = re.compile(r".*(?:\b(?:so|then)\b|[,;.:])")
_UNDENIED = ((r"\bcan(?:'t|not)\b", "can"), (r"\bwon't\b", "will"), (r"n't\b", ""), (r"\b(?:not|never) ", ""))
# "He says I can't shoot because I fell back. Can I shoot?": what is claimed is asked for behind it.
_CLAIMED = re.compile(
    rf"^{_SOMEBODY} {_HELD}(?: that)?,? (?P<claim>[^.;?!]{{3,90}})[.;?!]+ (?:so |but )?"
    r"(?=(?:can|may|am|is|are|do|does|could|must) (?!(?:he|she|they|this|that)\b)(?:i|we|it|my|our|an?|the|\w+ing) \S+)"
)
_CLAIMS = re.compile(
    r"(?: is|'s| are|'re) (?:cheating|illegal|forbidden|not allowed|banned|against the rules)\b"
    r"|\b(?:can't|cannot|can not|can|may not|may|must not|mustn't|am not allowed to|are not allowed to) "
)
SHORTEST = 3  # words that a sentence has without its tag


def parted(text: str) -> tuple[str, str]:
    """The sentence without its tag, and what the tag does. `text` is in plain lower case."""
    claimed = _CLAIMED.match(text)
    if claimed is not None:
        claim = _CLAIMS.sub(" ", claimed["claim"])
        return f"{claim}, {text[claimed.end() :]}", DOUBTS if _DENIES.search(claim) else ""
    wrong = _WRONGS.search(text)
    if wrong is not None and not _DENIES.search(text[wrong.end() :]) and not _DENIES.search(text[: wrong.start()]):
        return f"{text[: wrong.start()]}{text[wrong.end() :]}", WRONG
    if _DOUBTED.search(text):
        return text, DOUBTS
    bare, tag = _without_tag(_meaning(text.strip()))
    lead = _LEADS.match(bare)
    if lead is not None and not told_apart(bare).rest and not _ASKED.match(bare[lead.end() :]):
        bare, tag = bare[lead.end() :], tag or CONFIRMS
    if tag == ASKS:
        return _undenied(bare), tag
    if not tag:
        return bare, tag
    bare = _CLAIMED_WITHIN.sub(r"\1", bare) if tag == CONFIRMS else bare
    return re.sub(r"\bnever\b", "do not", _CLAIMED_BEHIND.sub("", bare.rstrip(" ,.;:-"))), tag


def _meaning(text: str) -> str:
    """ "Does advancing mean I can't shoot" asks whether it is so that "after advancing I can't shoot"."""
    found = _MEANS.search(text)
    if found is not None:
        return f"{text[: found.start()]}{text[found.end() :]}, right"
    opening = _DOES_MEAN.match(text)
    if opening is None:
        return text
    join = "after" if _DOING.match(opening["this"]) else "if"
    return f"{join} {opening['this']}{text[opening.end() :]}, right"


def _undenied(bare: str) -> str:
    """ "I can't, can I?" asks "can I?": the last clause without its "not"."""
    clause = _LAST_CLAUSE.match(bare)
    start = clause.end() if clause else 0
    kept = bare[start:]
    for denial, plain in _UNDENIED:
        kept, found = re.subn(denial, plain, kept, count=1)
        if found:
            break
    return bare[:start] + kept


def _without_tag(text: str) -> tuple[str, str]:
    for pattern, tag in ((_CONFIRMED, CONFIRMS), (_BEHIND_COMMA, ASKS), (_BEHIND, ASKS)):
        found = pattern.search(text)
        if found is None or not _is_sentence(text[: found.start()]):
            continue
        if pattern is _BEHIND and not _DENIES.search(text[: found.start()]):
            continue
        return text[: found.start()], tag
    return text, ""


def _is_sentence(bare: str) -> bool:
    """Whether what the tag hangs on is a statement: long enough, and no question by itself."""
    asked = _ASKED.match(bare.strip())
    return len(bare.split()) >= SHORTEST and (asked is None or asked[0] == "if")
