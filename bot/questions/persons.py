"""Who a question speaks of: me or him, my unit or another one, whoever shoots or whoever is shot at."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from bot.naming import singular
from bot.questions.meaning import UNDONE
from bot.questions.words import BEGINS, Word
from resolver.ruleset import ACTIONS

ACTION = {action.replace(" ", "-"): action for action in ACTIONS} | {"normally": "move"}
STATE = {"engaged": "engaged", "melee": "engaged", "enemy-near": "engaged", "not-engaged": "not engaged"} | {
    UNDONE: "after move"
}
RELATIVE = frozenset({"that", "who", "which"})
AIMED = frozenset({"at", "into", "against"})
AIMED_AT = frozenset({"unit", "enemy", "target"})
_HIM = frozenset({"him", "them", "her", "it", "that", "those"})
_SOMEBODY = frozenset({"him", "them", "his", "her", "their", "he", "she", "you", "your"})
_SLAIN, _WAS = frozenset({"slain-before", "casualty"}), frozenset({"was", "were", "got", "is", "are", "been"})
_KILLS = frozenset({"killed", "kill", "slew", "destroyed", "finished"})
_MY = frozenset({"my", "our"})
_TROOPS = frozenset({"unit", "guy", "guys", "lad", "lads", "man", "men", "squad", "model", "models"})
_ANY_UNIT_WORDS = (
    "unit model squad team guy lad dude man men troop fellow group soldier warrior fighter miniature mini figure bloke"
    " chap boy buddy force army one thing"
)
_ANY_UNIT = frozenset(_ANY_UNIT_WORDS.split())
_ME, _OTHERS = frozenset({"i", "we"}), frozenset({"he", "she", "they", "you"})
_HE = frozenset({"he", "she"})
_MINE, _HIS = _ME | {"my", "our", "mine", "me", "us"}, frozenset({"his", "her", "their"})
_ACTING = RELATIVE | {"may"}


def two_persons(words: Sequence[Word]) -> bool:
    """ "Can I shoot if he advanced": the condition is told of somebody else."""
    said = {word.said for word in words}
    if said & _OTHERS == {"they"} and (_with_a_unit(words) or _of_my_unit(words)):
        return _enemy_acts(words)
    if _enemy_acted(words) and not _asks_about_him(words):
        return True
    if said & _ME:
        return bool(said & _OTHERS) or _enemy_acts(words)
    mine = "mine" in said or any(whose.said in _MY and who.concept == "unit" for whose, who in pairwise(words))
    return mine and (bool(said & _HE) or _enemy_acted(words))


def _asks_about_him(words: Sequence[Word]) -> bool:
    """ "The enemy advanced. Can it …"; in "is it legal" it is nobody."""
    return any(
        word.said in _HE or word.said == "they" or (word.said == "it" and last.said not in _WAS)
        for last, word in zip((Word("", ""), *words), words, strict=False)
    )


def _with_a_unit(words: Sequence[Word]) -> bool:
    """ "I fell back with my unit, can they …": they are the unit."""
    row = [word for word in words if word.concept != ""]
    return any(word.said == "with" and after.concept == "unit" for word, after in pairwise(row))


def _of_my_unit(words: Sequence[Word]) -> bool:
    """ "I pulled my unit out. May they …": they are the one unit of mine that is told of."""
    said = {part for word in words for part in word.said.split()}
    if said & _SOMEBODY or any(word.concept in AIMED_AT - {"unit"} for word in words):
        return False
    mine = sum(last.said in _MY and word.concept == "unit" for last, word in pairwise(words))
    inside = sum(word.concept in ACTION and bool(_TROOPS & set(word.said.split())) for word in words)
    return mine + inside == 1 and sum(word.concept == "unit" for word in words) <= mine


def another_unit(words: Sequence[Word]) -> bool:
    """ "My archers shot. Can my knights shoot": asked of another unit than the one told of."""
    begins = words.index(BEGINS) if BEGINS in words else 0
    told, asked = (
        {_kind(word) for word in part if word.concept == "unit"} for part in (words[:begins], words[begins:])
    )
    return bool(told and asked - told - {""})


def _kind(word: Word) -> str:
    """The kind of troops that a word for a unit names; nothing where any unit may be meant."""
    parts = {singular(part) for part in word.said.split()}
    return "" if parts & _ANY_UNIT else singular(word.said)


def into_a_fight(words: Sequence[Word]) -> bool:
    """ "My mates are fighting him. Can I shoot at him": the fight is told of others."""
    shot = any(word.concept == "shoot" and not word.past for word in words)
    fights = any(word.concept == "fight" and not word.past for word in words)
    return shot and fights and any(at.said in AIMED and whom.said in _HIM for at, whom in pairwise(words))


def engaged_with_mine(words: Sequence[Word]) -> bool:
    """ "The enemy is engaged with my other unit. Can I shoot it": the state is the enemy's."""
    row = [word for word in words if word.concept != "" or word.said in _MY or word.said in _OTHERS]
    his = any(who.concept == "enemy" or who.said in _OTHERS for who, state in pairwise(row) if state.concept in STATE)
    return his and any(
        state.concept in STATE and mark.said == "with" and whose.said in _MY
        for state, mark, whose in zip(row, row[1:], row[2:], strict=False)
    )


def slain_is_another(words: Sequence[Word]) -> bool:
    """ "He was killed first. Do I strike", "I killed him. Do I": whoever was slain is not the one asked about."""
    told, asking = _parts(words)
    return {_slain_side(told), _side(asking)} == {"mine", "his"}


def _slain_side(told: Sequence[Word]) -> str:
    """Whose the slain are: of whoever was killed, or the other side of whoever killed."""
    row = [word for word in told if word.concept != "" or word.said in _WAS or word.said in _MINE or _is_his(word)]
    place = next((place for place, word in enumerate(row) if word.concept in _SLAIN), 0)
    side = _side(row[:place][::-1])
    killed = place > 0 and row[place].said in _KILLS and row[place - 1].said in (*_ME, *_OTHERS)
    return {"mine": "his", "his": "mine"}.get(side, "") if killed else side


def _enemy_acts(words: Sequence[Word]) -> bool:
    """ "The enemy may …", "the enemy who …", "the enemy advanced"."""
    return _enemy_acted(words) or any(
        who.concept == "enemy" and (after.concept in _ACTING or after.concept in ACTION)
        for who, after in pairwise(words)
    )


def _enemy_acted(words: Sequence[Word]) -> bool:
    """ "The enemy advanced", "his unit shot"."""
    rows = zip((Word("", ""), *words), words, words[1:], strict=False)
    return any(
        after.past and (who.concept == "enemy" or (who.concept == "unit" and whose.said in _HIS))
        for whose, who, after in rows
    )


def sides_differ(words: Sequence[Word]) -> bool:
    """ "He charged. Do I strike first": what is told and what is asked are of two sides."""
    told, asking = _parts(words)
    return {_side(told), _side(asking)} == {"mine", "his"}


def _parts(words: Sequence[Word]) -> tuple[Sequence[Word], Sequence[Word]]:
    """What is told and what is asked; "my man was killed, does he …" asks about my man."""
    begins = words.index(BEGINS) if BEGINS in words else 0
    told, asking = words[:begins], words[begins:]
    if any(whose.said in _MY and who.concept in ("unit", *_SLAIN) for whose, who in pairwise(told)):
        after = (*asking[1:], Word("", ""))
        asking = [word for word, who in zip(asking, after, strict=True) if not _is_he(word, who)]
    return told, asking


def _is_he(word: Word, after: Word) -> bool:
    return word.said in _HE or (word.said in _HIS and after.concept != "unit")


def _side(words: Sequence[Word]) -> str:
    """Whose matter a sentence is by the first person named in it."""
    sides = ("mine" if word.said in _MINE else "his" if _is_his(word) else "" for word in words)
    return next(filter(None, sides), "")


def _is_his(word: Word) -> bool:
    return word.concept == "enemy" or word.said in _HIS or word.said in _OTHERS - {"they", "you"}
