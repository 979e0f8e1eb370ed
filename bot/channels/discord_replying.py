"""A reply to something the umpire said speaks of just that: its number, its buttons, its attack, its question.

A reply to what a person said speaks of the umpire's answer to that.
What is said in few words (`why`, `roll it`, `undo`, `4+`) would otherwise mean the last thing said by anybody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

import discord

from bot.asked import Asked, Matter, Question
from bot.channels.discord_offers import Act, Offer, Shelf
from bot.ledger import Ledger
from bot.reply import Note, Reply

_NUMBER = re.compile(r"[*\s]*(?:why: )?#(\d{1,9})\b")
_ABOUT = re.compile(
    r"(?:please )?(?P<verb>why|show|undo|take back|revert|re-?check|who rolled|(?P<mends>correct|mend|fix|amend))"
    r"(?: (?:it|that|this)\b)?(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
_END = re.compile(r"(?: please)?[ .!?]*", re.IGNORECASE)
_ORDER = re.compile(r"(\d+)\. ")


@dataclass(frozen=True)
class Before:
    """What the umpire said before: the number it begins with, and its buttons as labels and custom ids.

    `title` is its first line without marks. Of what a person said only the `event` of that message is known.
    """

    number: int | None = None
    buttons: tuple[tuple[str, str], ...] = ()
    title: str = ""
    event: str | None = None


def before(message: discord.Message, me: discord.abc.User | None) -> Before | None:
    """What the message replies to, as far as is known; None if that is nothing."""
    reference = message.reference
    if reference is None or reference.type is not discord.MessageReferenceType.reply:
        return None
    said = reference.resolved
    if not isinstance(said, discord.Message):
        return Before()
    if said.author != me:
        return Before(event=f"message {said.id}")
    number = _NUMBER.match(said.content)
    title = said.content.partition("\n")[0].replace("\\", "").strip("* ")
    return Before(int(number[1]) if number else None, tuple(_buttons(said)), title)


def _buttons(message: discord.Message) -> Iterator[tuple[str, str]]:
    for row in message.components:
        for part in row.children if isinstance(row, discord.ActionRow) else ():
            if isinstance(part, discord.SelectMenu):
                yield from ((option.label, option.value) for option in part.options)
            elif isinstance(part, discord.Button) and part.label and part.custom_id:
                yield part.label, part.custom_id


def in_reply(asked: Asked, said: Before, shelf: Shelf, ledger: Ledger) -> Asked | Reply:
    """The message with all that it leaves to what it replies to; or what is asked back."""
    if said.event is not None:
        said = replace(said, number=ledger.memory.number(asked.where, said.event))
    found = [(label, shelf.offer(asked.where, id)) for label, id in said.buttons]
    offers = [(label, offer) for label, offer in found if offer is not None]
    words = " ".join(asked.text.casefold().split()).strip(" .!?")
    for label, offer in offers:
        if offer.act is Act.SAY and words in _called(label, offer):
            return replace(asked, text=offer.text, question=offer.question, alone=True)
    about = _about(asked.text)
    if about is not None and said.number is not None:
        verb, rest = about
        return replace(asked, text=f"{verb} #{said.number}{rest}", alone=True)
    if about is not None and about[0].casefold() != "why":  # which complains of its own, and names an attack
        return _which(about[0])
    matter = _matter(asked.where, said, [offer for _, offer in offers], ledger)
    question = _asked_back(asked, said, ledger) or _question(offer for _, offer in offers)
    return replace(asked, question=question, matter=matter)


def _asked_back(asked: Asked, said: Before, ledger: Ledger) -> Question | None:
    """What the umpire asked back of a message of the same person, if that is still open."""
    kept = ledger.memory.recall(asked.where, asked.who)
    if said.event is None or kept.get("question") != said.event:
        return None
    return Question(said.event, kept.get("pending", ""), kept.get("missing", ""))


def _called(label: str, offer: Offer) -> tuple[str, ...]:
    """What a button may be called: what stands on it, or its number among the choices."""
    order = _ORDER.match(label)
    return label.casefold(), offer.text.casefold(), order[1] if order else label.casefold()


def _about(text: str) -> tuple[str, str] | None:
    """The verb and the rest of a message that speaks of an entry without naming it."""
    match = _ABOUT.fullmatch(text.strip())
    if match is None:
        return None
    rest = match["rest"]
    if match["mends"] is None:
        return (match["verb"], "") if _END.fullmatch(rest) else None
    return (match["verb"], rest) if re.match(r"[ ,:]+(?!#|\d+ )\w", rest) else None


def _which(verb: str) -> Reply:
    hint = Note(f"{verb.lower()} #17")
    return Reply("misread", f"{verb.lower()} which entry? What you reply to has no number that I know.", (hint,))


def _matter(where: str, said: Before, offers: list[Offer], ledger: Ledger) -> Matter:
    """The attack that was rolled or reckoned there."""
    entry = None if said.number is None else ledger.entry(where, said.number)
    if entry is not None:
        attack = _as_odds(entry.read) if "attack" in entry.data else ""
        return Matter(attack, rolled=bool(attack), entry=entry.id)
    by_name = [f"odds {offer.text}" for offer in offers]  # of an attack by name, perhaps with a level behind it
    rolls = [odds for odds in by_name if said.title == odds or said.title.startswith(f"{odds}: ")]
    rolls += [_as_odds(offer.text) for offer in offers if offer.act is Act.OWN_DICE]  # only under odds
    return Matter(next(iter(rolls), ""))


def _as_odds(attack: str) -> str:
    return re.sub(r"^roll (?=\d)", "odds ", attack)


def _question(offers: Iterator[Offer]) -> Question | None:
    return next((offer.question for offer in offers if offer.question is not None), None)
