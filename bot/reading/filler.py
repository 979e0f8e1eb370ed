"""Words that may stand anywhere in an attack and change nothing. A word that is not here is never dropped."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection

_POLITE = (
    "please pls plz thanks thank thx ta cheers hi hello hey yo ok okay right well so um er hmm oh alright "
    "mate mates folks everyone quick question drumhead umpire just now here there kindly say said suppose "
    "yeah hm hmm umm ummm hiya heya wait ty tysm eh ah aha "
    "lol haha hehe btw  know wondering curious again sorry uh too base lets let's calculate fast quickly asap"
)
_PERSONS = (
    "i i'm i've i'll i'd me my mine we we're we've us our you your he she his her it its it's they they're they've "
    "opponent's enemy's mate's friend's buddy's brother's sister's dad's "
    "them their theirs this these those that that's who which whose he's she's he'd "
    "she'd im ive weve theyre theyve youve thats"
)
_SMALL_VERBS = (
    "a an the and with of for to from in by is are am be has have having had get gets got getting do does doing "
    "can could would will shall let let's want going gonna also as make makes making take takes taking use uses "
    "using go goes went aim aims aimed deal deals dealing throw throws throwing roll rolls rolling rolled need"
)
_SUBJECTS = (
    "attacker attackers defender defenders attacking weapon weapons gun guns unit squad team enemy enemies "
    "opponent opponents stats statline profile characteristic value test number model "
    "mob gang band crew horde pack lot bunch"
)

POLITE = frozenset(_POLITE.split())

# Filler beside a clause, but no talk: these may say what is wanted or whom it is about.
_ACTS = "roll rolls rolling rolled throw throws throwing need"
OF_THE_TRADE = frozenset(f"{_SUBJECTS} {_ACTS}".split())

# Not here, since they may change what is meant: conditions (if, when, but), parts (some, half, most), denials.
FILLER = frozenset((*POLITE, *f"{_PERSONS} {_SMALL_VERBS} {_SUBJECTS}".split()))

# What may stand between the attack and its target, beside "at" and "on" where no number follows.
_BETWEEN = (
    "into against onto target targeting fighting facing kill kills killing slay slays slaying destroy destroying wipe"
    " wiping"
)
INTO = frozenset(_BETWEEN.split())

PUNCTUATION = frozenset(",;.!?()/:\"'-…•|*_")


def is_ornament(char: str) -> bool:
    """Emoji and what joins them: signs that nobody reads as a word."""
    return (not char.isascii() and unicodedata.category(char) in ("So", "Sk")) or char in "\ufe0f\u200d"


def is_filler(text: str, more: Collection[str] = ()) -> bool:
    """Whether an atom may be passed over."""
    return text in PUNCTUATION or text in FILLER or text in more or is_ornament(text[0])
