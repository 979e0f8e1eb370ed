"""What people say round a message and that changes nothing: written lists.

A phrase is passed over wherever it stands. A whole stretch between two marks (", … ," or "… !") is passed over if
each of its words is one of talk, so that none of them can belong to a clause: "poor things", "I'd love to know".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bot.reading.filler import FILLER, OF_THE_TRADE

if TYPE_CHECKING:
    from bot.reading.atoms import Atom

_PHRASES = """
good morning; good afternoon; good evening; good day
good morning everyone; good afternoon everyone; good evening everyone; good day everyone; hello everyone; hi everyone
good morning all; good afternoon all; good evening all; morning all; evening all; hi all; hello all; hey all
hi there; hello there; hey there; hi again; hello again
hope you're well; hope you are well; hope you're all well; hope all is well; hope everyone is well
by the way; no rush; if you don't mind; if you please; when you get a chance; for my mate; for my friend; for a friend
so i was thinking; i was thinking; i was just thinking; so i was wondering; i was wondering; i was just wondering
i'm learning; i'm learning the game; i'm still learning; still learning; learning the game
i'm new; i'm new here; i'm new to this; i'm new at this; i'm new to the game
new player; new player here; i'm a new player
new here; first time here
beginner question; beginner's question; a beginner question; a beginner's question; newbie question; a newbie question
silly question; a silly question; stupid question; a stupid question; dumb question; a dumb question
simple question; a simple question; a quick question; small question; a small question
pretty please; thank you; thank you very much; thank you so much; thanks a lot; thanks in advance; many thanks
ok last 1 sorry; last 1 sorry; last 1 ,; last 1 :; 1 more :; 1 more ,; sorry 1 more; not sure i say this right
i'm not sure i say this right; i'm not sure i say this right but; not sure how to say this; not sure how to say this but
not sure if this is right; not sure if this is right but; i'm not sure how to say this; i'm not sure how to say this but
cheers mate; thanks mate; ta very much; good luck to me; wish me luck; fingers crossed
if it's not too much trouble; if it isn't too much trouble; if that's ok; if that's okay; if that's alright; if you can
if you could; if you would; if i may; if you like; if possible; when you have a minute; when you have a moment
when you have a sec; when you're ready; before my turn ends; before my turn
before i decide; before we go on; before we start
whatever it is; whatever happens; no matter what; no problem; no worries; no joke; no pressure; no idea how to say this
on this 1 :; on this 1 ,; on that 1 :; on that 1 ,; for this 1 :; for this 1 ,; last 1 for tonight
tricky 1; a tricky 1; hard 1; easy 1; 1 last 1 ,; 1 last 1 :
1 last question; last question; 1 last thing; 1 more thing; 1 more question; last thing; quick 1; next 1 :; next 1 ,
another 1 :; another 1 ,; new 1 :; new 1 ,
my friend says; my mate says; he says; she says; they say; he said; she said; they said; he tells me; she tells me
he claims; she claims; he reckons; she reckons; it says here; it says on the card; the card says; my card says
his card says; it says; on the card; on my card; on his card; on the sheet; according to the card
as i said; as he said; as she said; as always; as usual; as before; of course; to be fair; to be honest
let's see; here we go; here goes; here it is; here they are; there you go; that's it; that's all
the other side; real quick; 2 options; 3 options; 2 choices; 3 choices; i will move on; then i will move on
that's him; that's them
that's his lot; that's my lot; that's the lot; that's what i have; that's what he has; that's who i'm shooting at
first :; so far; at the moment; right now; as it happens; for now; this turn; this time
it's my turn; last turn ,; last turn .
last fight of the night; last fight of the night lads
a tough 1; tough 1 .; would you ?; before i commit; into the same thing ?; he moved up; they moved up; he moved closer
they moved closer; in this game; in our game
"""
# Talk of every sort: courtesies, feelings, the evening and its company, saying and asking. No word that could limit
# or deny (only, half, if, not, but for "but" at the head), and none of the trade.
_TALK = """
ah aha aww oi oops ouch yikes wow whoa ooh yay hooray hurray hurrah hiya heya howdy greetings cheerio bye goodbye yeah
yep yes sure nice great good cool awesome lovely fine super brilliant perfect excellent sweet fair fun funny lucky
unlucky luck poor thing things bless dear god gosh goodness heavens boy friend friends pal pals buddy bro sis dad mum
mom brother sister son daughter wife husband partner kid kids uncle aunt everybody anyone someone ladies gents
gentlemen sir madam ref referee bot apologies excuse bother bothering trouble mind kind much very really so pretty
quite rather totally honestly actually basically literally obviously apparently probably maybe perhaps hopefully
luckily sadly finally anyway anyhow whatever new newbie beginner beginners learner learning learn still always forget
forgot remember think thinking thought guess believe wonder confused lost stuck love like liked loved want wanted wish
hope hoping glad happy sad worried scared excited nervous bored tired ready late early tonight today tomorrow
yesterday morning afternoon evening night day later soon game games play playing played rules rule book help helping
helped explain explained question questions asking ask asks asked answer tell told see seen look looks looking watch
sounds seems goes going go come comes coming back home work job tea coffee beer pizza food drink break phone type
typing typo sam everyone late deep breath close afraid weather duel awake niece nephew teaching club standing hobby
autocorrect keyboard camera screen stream message messages joking joke kidding serious seriously laughing grateful
appreciate appreciated time moment minute sec bit stuff exciting excited decision crunch big moment deal idea promise
trust bet reckon swear exactly precisely simple simply easy important interesting interested bad worse terrible awful
horrible checking hobby chat team bag commit going well night club today table
maths math sums sum check calculation tricky measuring done strikes charging swings turn
sorry about around over up down out off this that these those it its he she they we you i me us him her them
my your our their his a an the and or so because cos cause since to for of in on at by with from is are was were be
been am do does did has had have would could should can will may might let lets let's i'd i've i'll i'm he's he'd
she's they're they've they'd we're we've we'll you're you'd you've it's that's there's here's there here now then too
also just even some time how what why who where which as than well right okay ok
"""
TALK = frozenset(_TALK.split()) | (FILLER - OF_THE_TRADE)
_SMALL_WORDS = (
    "a an the and or so to for of in on at by with from is are was were be been am do does did has had have would could"
    " should can will may might this that these those it its he she they we you i me us him her them my your our their"
    " his about around over up down out off some how what why who where which as than still always lost like"
)
_WHOM = frozenset(["model", "unit", "squad", "team", "gun", "weapon", "enemy"])  # talk may be about them
_TOLD, _SMALL = TALK | _WHOM, frozenset(_SMALL_WORDS.split()) | _WHOM
_MARKS = frozenset([",", ".", ";", ":", "!", "?", "-", "(", ")", "…", "*", '"'])


def _by_first() -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    phrases = {tuple(phrase.split()) for line in _PHRASES.splitlines() for phrase in line.split(";") if phrase.strip()}
    for phrase in sorted(phrases, key=len, reverse=True):
        found.setdefault(phrase[0], []).append(phrase)
    return found


_BY_FIRST = _by_first()


def without_chatter(words: list[Atom]) -> list[Atom]:
    """The words without such phrases and stretches; all of them if nothing else was said."""
    kept = list(_without_talk(list(_without_phrases(words))))
    same = len(kept) == len(words) or not any(any(char.isalnum() for char in word.text) for word in kept)
    return words if same else kept


def _without_phrases(words: list[Atom]) -> Iterator[Atom]:
    at = 0
    while at < len(words):
        taken = _phrase_at(words, at)
        if not taken:
            yield words[at]
        at += taken or 1


def _without_talk(words: list[Atom]) -> Iterator[Atom]:
    """The words but for every stretch between two marks that is talk alone."""
    start = 0
    for place in range(len(words) + 1):
        if place == len(words) or words[place].text in _MARKS:
            stretch = words[start:place]
            if not _is_talk(stretch):
                yield from stretch
            yield from words[place : place + 1]
            start = place + 1


def _is_talk(stretch: Sequence[Atom]) -> bool:
    said = {word.text for word in stretch}
    return not said <= _SMALL and said <= _TOLD


def _phrase_at(words: Sequence[Atom], at: int) -> int:
    """How many words such a phrase takes here; 0 if there is none."""
    for phrase in _BY_FIRST.get(words[at].text, ()):
        if tuple(word.text for word in words[at : at + len(phrase)]) == phrase:
            return len(phrase)
    return 0
