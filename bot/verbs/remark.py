"""A kind word for a kind word; whoever is puzzled is told what can be said."""

from __future__ import annotations

from collections.abc import Mapping

from bot.asked import Asked
from bot.house import House
from bot.left_open import open_words
from bot.reading.small_talk import NOD, PRAISE, PUZZLED, THANKS, WELL_PLAYED
from bot.reply import Line, Reply
from bot.requests.talk import Remark
from bot.table.current import any_game

_KIND: Mapping[str, str] = {
    THANKS: "you're welcome",
    WELL_PLAYED: "well played, all of you",
    PRAISE: "thank you",
    NOD: "ready when you are",
    PUZZLED: "ask me what a word means, what you may do, or what an attack would do",
}


def answer(request: Remark, asked: Asked, house: House) -> Reply:
    """One line, and what is still asked of the person; what was left open stays so."""
    game = any_game(house, asked.where)
    playing = game is not None and game.open
    still = open_words(house.memory.recall(asked.where, asked.who)) if request.words in (NOD, PUZZLED) else ()
    said = still[0] if still else _KIND[request.words]
    offers = ("what now" if playing else "help",) if request.words == PUZZLED and not still else ()
    if request.words == WELL_PLAYED and playing:
        offers = ("report",)
    data = {"message": said}
    return Reply("remark", said, tuple(map(Line, still[1:])), data, offers, leaves_open=True)
