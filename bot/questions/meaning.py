"""Words whose meaning hangs on the words beside them: numbers, "just", a deed that was not done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from bot.questions.scene import SCENE
from bot.questions.words import BEGINS, ENDS, INCHES, NUMBER, TARGET, Word
from resolver.ruleset import Ruleset

NATURAL_FAIL, HIGHEST = "natural-1", "highest"
# Concepts beside which a bare number is a distance.
MEASURED = frozenset({"half-range", "half-range-bonus"})
# Things that are counted.
COUNTED = frozenset({"dice", "unit", "attack", "phase", "weapon", "wound", "damage", "save", "hit"})
# "Just", "simply": said of whoever goes away, that nothing hinders it; said of anything else, nothing at all.
PLAINLY = "plainly"
LEAVING = frozenset({"walk-away", "leave-melee"})
PREVENT = "prevent"
DEEDS = frozenset({"move", "advance", "fall-back", "walk-away", "shoot", "charge", "fight"})
_HOMES = {
    "movement-phase": frozenset({"move", "advance", "fall-back", "walk-away"}),
    "shooting-phase": frozenset({"shoot"}),
    "charge-phase": frozenset({"charge"}),
}
# Beside these an inch is measured for its own sake.
_OF_THE_CHARGE_WORDS = (
    "charge-roll charge-distance end-within failed-charge coherency apart enough declare succeed measure far not"
    " never close-enough end-in-contact fail-move less more base-to-base only must unless without instead"
)
_OF_THE_CHARGE = frozenset(_OF_THE_CHARGE_WORDS.split())
_HIS = frozenset({"his", "her", "their"})
_THIRD = frozenset({"other", "another", "own", "friend", "friends", "different", "second", "else", "ally", "allies"})
_AWAY = frozenset({"away", "from", "off", "next", "near"})
# What was not done: the unit made a plain move at most.
UNDONE = "plain-moved"
_COSTLY = frozenset({"advance", "fall-back"})
# Not having shot leaves no state; it is only no duty to have done it.
UNSHOT = "unshot"
_LEFT_UNDONE = {**dict.fromkeys(_COSTLY, UNDONE), "shoot": UNSHOT}
# Whoever moves "out of combat" was in it.
_ENGAGED, _FREE = "engaged", "not-engaged"
_GOING = frozenset({"move", "normally", "advance", "charge", "fall-back", "walk-away"})
_HAVE, _DO = frozenset({"did", "have", "has", "had"}), frozenset({"do", "does", "is", "are", "am"})
# "My save is ignored": the save suffers it, it does not do it.
SUFFERS = "beaten-by"
_SAVING = frozenset({"save", "fixed-save", "armour", "cover"})
_DOES_AWAY = frozenset({"ignore", "deny", "skip"})
_IS = frozenset({"is", "are", "was", "were", "be", "been", "get", "gets"})
_SUBORDINATE = frozenset({"if", "when", "that", "who", "which"})


def meant(words: Sequence[Word], ruleset: Ruleset) -> tuple[Word, ...]:
    """The words, each with the concept that it has beside the others."""
    for way in (*SCENE, _advised, _prevented, _suffered, _at_home):
        words = way(words)
    words = _near(words, ruleset)
    counted = list(_counted(list(_undone(list(_left(_plain(words)))))))
    measured = any(word.concept in MEASURED for word in counted)
    return tuple(_inches(word) if measured else _face(word, ruleset) for word in counted)


def _near(words: Sequence[Word], ruleset: Ruleset) -> Sequence[Word]:
    """ "An enemy half an inch away, can I shoot": whoever has an enemy so near is engaged."""
    concepts = {word.concept for word in words}
    inches = [word.number for word in words if word.concept == INCHES and word.number is not None]
    if _THIRD & {part for word in words for part in word.said.split()}:
        return words  # near somebody else
    his = any(whose.said in _HIS and who.concept == "unit" for whose, who in pairwise(words))
    if not concepts & DEEDS or concepts & _OF_THE_CHARGE or not (his or concepts & {"enemy", _ENGAGED}):
        return words
    if len(inches) != 1 or inches[0] > ruleset.movement.engaged_within or not _is_near(words):
        return words
    meant_by = {INCHES: _ENGAGED if _ENGAGED not in concepts else "", "base": "", "exactly": "", "stand": ""}
    return [replace(word, concept=meant_by.get(word.concept or "-", word.concept)) for word in words]


def _is_near(words: Sequence[Word]) -> bool:
    """Whether the distance is one between the unit and the enemy."""
    if any(word.concept == _ENGAGED for word in words):
        return True
    deed = next(place for place, word in enumerate(words) if word.concept in DEEDS)
    inch = next(place for place, word in enumerate(words) if word.concept == INCHES)
    told = inch < deed or any(word.concept in ("if", "when", "that") for word in words[deed:inch])
    return told and any(bool(_AWAY & set(word.said.split())) for word in words)  # "can I move 1 inch from him" asks it


def _at_home(words: Sequence[Word]) -> Sequence[Word]:
    """ "Fell back in the movement phase": a deed told of, in the phase that it belongs to anyway."""
    told, last = [], Word("", "")
    for word in words:
        home = last.past and last.concept in _HOMES.get(word.concept or "", ())
        told.append(replace(word, concept="") if home else word)
        last = last if word.concept == "" else word
    return told


def _advised(words: Sequence[Word]) -> Sequence[Word]:
    """ "Should" asks what the rule is, unless a deed is asked about: that would be advice."""
    if any(word.concept in DEEDS for word in words):
        return words
    return [replace(word, concept="") if word.said == "should" else word for word in words]


def _prevented(words: Sequence[Word]) -> Sequence[Word]:
    """ "Does advancing stop me from shooting" asks "is it forbidden to shoot after advancing"."""
    begins = words.index(BEGINS) + 1 if BEGINS in words else 0
    ends = words.index(ENDS) if ENDS in words else len(words)
    return (*words[:begins], *_forbidden_after(words[begins:ends]), *words[ends:])


def _forbidden_after(words: Sequence[Word]) -> Sequence[Word]:
    places = [place for place, word in enumerate(words) if word.concept == PREVENT]
    if len(places) != 1:
        return words
    before, after = words[: places[0]], words[places[0] + 1 :]
    deeds = [sum(word.concept in DEEDS for word in part) for part in (before, after)]
    if deeds != [1, 1] or any(word.concept in ("not", "after", "before") for word in words):
        return words
    return (Word("forbidden", "forbidden"), *after, Word("after", "after"), *before)


def _suffered(words: Sequence[Word]) -> Sequence[Word]:
    """ "Is my save ignored against this" asks what is done to the save."""
    said = [word.said for word in words]
    last, told = "", []
    for place, word in enumerate(words):
        suffers = word.past and word.concept in _DOES_AWAY and last in _SAVING and bool(_IS & set(said[:place]))
        told.append(replace(word, concept=SUFFERS) if suffers else word)
        last = word.concept or last
    return told


def _plain(words: Sequence[Word]) -> Sequence[Word]:
    """Mere grammar, unless somebody goes away."""
    if any(word.concept in LEAVING for word in words):
        return words
    return [replace(word, concept="") if word.concept == PLAINLY else word for word in words]


def _left(words: Sequence[Word]) -> Iterator[Word]:
    """ "Advance out of engagement": the unit is engaged."""
    last = Word("", "")
    for word in words:
        leaves = word.concept == _FREE and word.said.startswith("out of") and last.concept in _GOING
        yield replace(word, concept=_ENGAGED) if leaves else word
        last = last if word.concept == "" else word


def _undone(words: Sequence[Word]) -> Iterator[Word]:
    """ "I did not advance", "if it does not fall back": what was not done stands as the state that it leaves."""
    denied = False
    for place, word in enumerate(words):
        if word.concept == "not" and _denies_deed(words, place):
            denied = True
        elif denied and word.concept in _LEFT_UNDONE:
            denied = False
            yield replace(word, concept=_LEFT_UNDONE[word.concept])
        else:
            yield word


def _denies_deed(words: Sequence[Word], place: int) -> bool:
    """Whether this "not" belongs to an advance or a fall-back told of, and not to what is asked."""
    if place == 0 or place + 1 == len(words):
        return False
    behind = next((word for word in words[place + 1 :] if word.concept != ""), None)
    if behind is None or behind.concept not in _LEFT_UNDONE:
        return False
    helper = words[place - 1].said
    told = any(word.concept in _SUBORDINATE for word in words[max(0, place - 4) : place])
    return (helper in _HAVE and place > 1) or (helper in _DO and told and behind.concept in _COSTLY)


def _counted(words: Sequence[Word]) -> Iterator[Word]:
    """A number before things that are counted is no face of a die: "1 die", "2 units"."""
    for place, word in enumerate(words):
        after = words[place + 1] if place + 1 < len(words) else word
        before = words[place - 1].said if place else ""
        face = before in ("a", "natural", "of") or word.said.endswith("s") or after.said.startswith("to ")
        if word.concept == NUMBER and after.concept in COUNTED and not face:
            yield replace(word, concept={1: "one", 2: "two"}.get(int(word.number or 0), "some-number"))
        else:
            yield word


def _inches(word: Word) -> Word:
    """Beside a distance every bare number is one of inches."""
    return replace(word, concept=INCHES) if word.concept == NUMBER else word


def _face(word: Word, ruleset: Ruleset) -> Word:
    """A bare 1 or 6 is the natural face that decides; a target number is itself a concept."""
    if word.concept == TARGET:
        return Word(word.said, f"{word.number:g}+", number=word.number)
    if word.concept != NUMBER:
        return word
    if word.number == ruleset.die:
        return Word(word.said, HIGHEST, number=word.number)
    if word.number == ruleset.natural_fail:
        return Word(word.said, NATURAL_FAIL, number=word.number)
    return word
