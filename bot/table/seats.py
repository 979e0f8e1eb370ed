"""Who may do what: seats act for their own side; what is somebody else's is asked of them.

Nobody sits: anyone may act. A side on which nobody sits may be played by anyone who sits somewhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bot.asked import Asked
from bot.house import House
from bot.misread import Misread
from bot.standing import Game
from bot.table.current import any_game


@dataclass(frozen=True)
class Consented(Asked):
    """A message carried out because `by`, of another side, agreed to what `proposal` asked."""

    by: str = ""
    proposal: int = 0


def sides_of(game: Game, who: str) -> tuple[str, ...]:
    """The sides on which a person sits."""
    return tuple(side.name for side in game.sides if who in side.seats)


def anyone_sits(game: Game) -> bool:
    return any(side.seats for side in game.sides)


def may_act(game: Game, asked: Asked, sides: Iterable[str]) -> bool:
    """Whether the asker may act for one of the sides; a spectator is told how to sit down."""
    if isinstance(asked, Consented) or not anyone_sits(game):
        return True
    mine = sides_of(game, asked.who)
    if not mine:
        raise _standing(game, asked)
    return any(side in mine or not game.side(side).seats for side in sides)


def _standing(game: Game, asked: Asked) -> Misread:
    """The complaint to somebody without a seat, with the seats that they may take: free ones, if any is."""
    free = [side.name for side in game.sides if not side.seats] or [side.name for side in game.sides]
    who = "you opened the table, but sit on no side" if asked.who == game.opener else "you are watching"
    said = f"{who}: only people who sit at the table act here; you may ask anything"
    return Misread(said, offers=tuple(f"sit with {name}" for name in free))


def check_seated(house: House, asked: Asked) -> None:
    """Tell a spectator of the open table how to sit down; the opener and moderators are none."""
    game = any_game(house, asked.where)
    if game is not None and game.open and not may_run(game, asked):
        may_act(game, asked, ())


def check_opener(house: House, asked: Asked, what: str) -> None:
    """Raise Misread where a table is open and the asker may not run it."""
    game = any_game(house, asked.where)
    if game is not None and game.open:
        check_runs(game, asked, what)


def check_runs(game: Game, asked: Asked, what: str) -> None:
    """Raise Misread unless the asker runs the table; `what` says what only such people do."""
    if not may_run(game, asked):
        raise only_the_opener(game, what)


def seated_against(game: Game, who: str) -> tuple[str, ...]:
    """The sides that others play: somebody sits there, and this person does not."""
    return tuple(side.name for side in game.sides if side.seats and who not in side.seats)


def only_the_opener(game: Game, what: str) -> Misread:
    """The complaint that only they or a moderator may do that."""
    opener = f"{game.opener}, who opened the table," if game.opener else "the opener, whose name was removed,"
    return Misread(f"only {opener} or a moderator {what}")


def may_run(game: Game, asked: Asked) -> bool:
    """Whether the asker may seat, unseat, close, and undo what others did: the opener, a moderator, or by consent."""
    return asked.moderator or asked.who == game.opener or isinstance(asked, Consented)
