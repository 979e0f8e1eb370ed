"""agreed, not agreed: the other side's answer to what was asked of it."""

from __future__ import annotations

from bot.asked import Asked
from bot.game import undone
from bot.house import House
from bot.ledger import Draft
from bot.left_open import NOTHING_OPEN, dropped, proposal_question, settled
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Line, Reply
from bot.requests.table import Agreed, Decline, OwnDice
from bot.standing import Game, Proposal
from bot.table.current import any_game, events, open_game
from bot.table.record import Made, happen, state_or_none
from bot.table.seats import Consented, may_run, sides_of
from bot.table.units import unit_names
from bot.table.words import listed
from bot.verbs.table.customs import own_dice


def agreed(request: Agreed, asked: Asked, house: House) -> Reply:
    """What was asked happens now, as the asker's, with the name of the one who agreed."""
    from bot.verbs import VERBS  # the registry holds this verb too

    game = open_game(house, asked.where)
    _asked_last(game, asked)
    if game.proposal is None and _own_dice_wait(game, asked.who):
        return own_dice(OwnDice(True), asked, house)
    number = _answered_by(game, asked, house)
    if number is not None:
        return settled(number)
    proposal = _waiting(game)
    _only_those_asked(game, asked, proposal)
    consented = Consented(
        text=proposal.text,
        who=proposal.who,
        where=asked.where,
        event=asked.event,
        moderator=asked.moderator,
        by=asked.who,
        proposal=proposal.entry,
    )
    context = Context(ruleset=house.ruleset(asked.where), units=unit_names(house, asked.where))
    meant = read(proposal.text, context)
    return VERBS[type(meant)](meant, consented, house)


def _answered_by(game: Game, asked: Asked, house: House) -> int | None:
    """The entry that answered what was asked last, if nothing is waiting for an answer."""
    if game.proposal is not None:
        return None
    happened = events(house, asked.where)
    void = undone(happened)
    answers = (item for item in reversed(happened) if "agreed" in item.event or item.event["type"] == "decline")
    return next((item.entry for item in answers if item.entry not in void), None)


def _own_dice_wait(game: Game, who: str) -> bool:
    """Whether some side has said yes to own dice and this person's has not."""
    mine = [side for side in game.sides if who in side.seats]
    return any(side.own_dice for side in game.sides) and any(not side.own_dice for side in mine)


def _asked_last(game: Game, asked: Asked) -> None:
    """A button belongs to what was asked when it was shown, and to nothing asked later."""
    asks = None if game.proposal is None else proposal_question(game.proposal.entry)
    if asked.question not in (None, asks):
        raise Misread("that is not waiting for anybody's agreement any more", hint="where are we")


def _waiting(game: Game) -> Proposal:
    if game.proposal is None:
        raise Misread("nothing is waiting for anybody's agreement", hint="where are we")
    return game.proposal


def _only_those_asked(game: Game, asked: Asked, proposal: Proposal) -> None:
    mine = sides_of(game, asked.who)
    if any(side in mine for side in proposal.sides) or (may_run(game, asked) and asked.who != proposal.who):
        return
    raise Misread(f"that was asked of the {listed(proposal.sides, 'or')}; one of them says `agreed`")


def decline(request: Decline, asked: Asked, house: House) -> Reply:
    """Nothing happens. Where nothing waits for an answer, the asker's own open question is dropped."""
    game = any_game(house, asked.where)
    if game is not None:
        _asked_last(game, asked)
    proposal = game.proposal if game is not None and game.open else None
    if proposal is None:
        return _dropped(game, asked, house)
    if asked.who != proposal.who:
        _only_those_asked(open_game(house, asked.where), asked, proposal)

    def build(game: Game, draft: Draft) -> Made:
        return Made(
            event={"type": "decline"},
            said=f"not agreed: {proposal.text} (#{proposal.entry}); nothing changes",
        )

    return happen(request, asked, house, build)


def _dropped(game: Game | None, asked: Asked, house: House) -> Reply:
    """That the open question is dropped, or that there is none; what was answered before is told by its number."""
    said = dropped(house.memory.recall(asked.where, asked.who))
    number = None if game is None or said != NOTHING_OPEN else _answered_by(game, asked, house)
    lines = () if number is None else (f"what was asked last is settled: #{number}",)
    data = {"said": "\n".join((said, *lines)), "state": state_or_none(house, asked)}
    return Reply("table", said, tuple(map(Line, lines)), data, private=True)
