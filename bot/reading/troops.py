"""What people call their models, and the adjectives that stand before such a noun and change nothing: written lists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.reading.atoms import Atom

MODEL = "model"
# Each also in the plural with an s; a weapon stands for the model that bears it.
_ONE = """
model mini miniature figure guy dude fella bloke chap lad soldier trooper fighter warrior grunt recruit
leader boss captain sergeant champion officer commander general chief hero lord lieutenant bodyguard minion
gunner archer crossbowman rifleman musketeer marksman sniper scout ranger raider rider knight skirmisher handgunner
bowman spearman swordsman pikeman axeman slinger spearthrower javelineer halberdier lancer hunter guard warden sentry
infantryman footman cavalryman horseman brute bruiser berserker thug bandit pirate villager peasant mage priest medic
monster beast giant dragon walker tank vehicle wagon cart chariot boat ship crewman
rifle cannon bow longbow crossbow sling spear pike pistol sword blade axe hammer mace halberd lance javelin dagger
gun musket carbine shotgun flamer flamethrower launcher rocket mortar howitzer catapult ballista trebuchet turret
bod
"""
_MANY = """
men man bodies troops people folks cavalry infantry militia artillery horse heroes riflemen bowmen spearmen swordsmen
pikemen axemen marksmen crossbowmen horsemen cavalrymen infantrymen footmen crewmen bosses sentries knives knife
"""
_NOUNS = frozenset((*_ONE.split(), *(f"{word}s" for word in _ONE.split()), *_MANY.split()))
NOUNS = _NOUNS - {"gun", "folks"}  # a gun may be a weapon, folks are greeted

# What stands before a noun and counts for nothing: "his big tough guys". The last line names our own scenario.
_KINDS = """
new big bigger biggest little small tiny huge large massive chunky tall short fat
armoured tough tougher toughest weak weaker hard nasty scary evil mean brave lone poor lovely pretty shiny painted
unpainted old young fresh tired surviving remaining basic normal regular ordinary standard plain
enemy fancy favourite favorite trusty stupid silly dumb bloody damn lucky unlucky angry mad crazy main
red blue green black white grey gray yellow purple orange brown golden silver metal wooden
saltmarsh kiln
"""
KINDS = frozenset(_KINDS.split())
_UNITS = frozenset(
    [MODEL, "unit", "squad", "team", "group", "gang", "band", "crew", "mob", "lot", "bunch", "gun", "weapon"]
)


def without_kinds(words: list[Atom]) -> list[Atom]:
    """The words without the adjectives that stand before a noun for models or a unit."""
    return list(_kept(words)) if any(word.text in KINDS for word in words) else words


def _kept(words: list[Atom]) -> Iterator[Atom]:
    noun = ""  # the first word behind that is no such adjective
    for place, word in enumerate(words):
        if word.text not in KINDS:
            yield word
            continue
        behind = (later.text for later in words[place + 1 :])
        noun = next((text for text in behind if text not in KINDS), "")
        if noun not in _UNITS:
            yield word
