"""Own dice at the table: whether they count here, and what is said when too few or too many were typed."""

from __future__ import annotations

from bot.ledger import Draft, RanOut
from bot.misread import Misread
from bot.standing import Game
from bot.wording import OWN_DICE
from resolver.live import Throw


def own_dice_count(game: Game) -> bool:
    """Own dice count when every side has said so."""
    return bool(game.sides) and all(side.own_dice for side in game.sides)


def declare(game: Game, draft: Draft, faces: tuple[int, ...] | None) -> None:
    """Take the player's own faces, if any were typed and the table lets them count."""
    if faces is None:
        return
    if not own_dice_count(game):
        raise Misread("own dice do not count at this table until both sides have agreed", hint="own dice yes")
    draft.declare(faces)


def all_used(draft: Draft, faces: tuple[int, ...] | None) -> None:
    """Complain about dice that no throw asked for."""
    unused = len(faces or ()) - len(draft.faces)
    if faces is not None and unused:
        raise Misread(f"{unused} of your dice are not needed", hint=f"give the first {len(draft.faces)} only")


def missing_dice(ran_out: RanOut, pending: str) -> Misread:
    """How many dice to pick up, for which step, and which number counts; "more" once some were told."""
    throw, count = ran_out.throw, ran_out.missing
    step, number, again = "", "", ""
    if isinstance(throw, Throw):
        step, again = f" for the {throw.step} step", " again" if throw.again else ""
        number = f", needing {throw.check.text}" if throw.check is not None and throw.check.needed else ""
    dice = ("die" if count == 1 else "dice") if throw.sides == 6 else f"d{throw.sides}"
    more = "" if pending.endswith(OWN_DICE) else "more "
    said = f"{count} {more}{dice} to throw{again}{step}{number}"
    return Misread(said, missing="dice", pending=pending, hint="for example: 6 4 1")
