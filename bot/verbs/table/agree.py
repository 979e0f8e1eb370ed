"""agreed, not agreed: the other side's answer to what was asked of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bot.asked import Asked
from bot.game import Happened, answers, undone
from bot.house import House
from bot.ledger import Draft
from bot.left_open import NOTHING_OPEN, dropped, proposed, settled
from bot.misread import Misread, Unsure
from bot.questions.house_rules import KIND
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
from bot.verbs import house_rule
from bot.verbs.table.customs import own_dice
from resolver.refused import Refused


def agreed(request: Agreed, asked: Asked, house: House) -> Reply:
    """What was asked happens now, as the asker's, with the name of the one who agreed."""
    from bot.verbs import VERBS  # the registry holds this verb too

    entry = None if request.entry is None else house.ledger.entry(asked.where, request.entry)
    if entry is not None and entry.kind == KIND:
        return house_rule.agree(entry, asked, house)
    game = open_game(house, asked.where)
    number = _number(request, asked)
    if _of_own_dice(game, asked, house, number) and _own_dice_wait(game, asked.who):
        return own_dice(OwnDice(True), asked, house)
    answer = _answered_by(game, asked, house, number)
    if answer is not None:
        return settled(answer)
    proposal = _meant(game, asked, house, number, request)
    _only_those_asked(game, asked, proposal, request)
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
    try:
        meant = read(proposal.text, context)
        return VERBS[type(meant)](meant, consented, house)
    except (Misread, Unsure, Refused) as why:
        return _impossible(proposal, str(why), asked, house)


def _impossible(proposal: Proposal, why: str, asked: Asked, house: House) -> Reply:
    """What cannot be done (any more) waits no longer, or it would wait for ever."""
    what = f"{proposal.text} (#{proposal.entry})"
    made = Made(
        event={"type": "decline", "declines": proposal.entry},
        said=f"agreed, but it can't be done, and waits no longer: {what}",
        lines=(why,),
    )
    return happen(Agreed(proposal.entry), asked, house, lambda game, draft: made)


def _answered_by(game: Game, asked: Asked, house: House, number: int | None = None) -> int | None:
    """The entry that answered what was asked in that one; or the last such answer, if nothing waits for one."""
    if number is None and game.proposals:
        return None
    happened = events(house, asked.where)
    void = undone(happened)
    given = ((item.entry, _answers(item, void)) for item in reversed(happened))
    return next((entry for entry, answered in given if answered and number in (None, *answered)), None)


def _answers(item: Happened, void: Mapping[int, int]) -> tuple[int | None, ...]:
    """What was asked and is settled by it; that nothing comes of it is taken back by an undo, a yes is not."""
    if item.event["type"] == "decline":
        return () if item.entry in void else (item.event.get("declines"),)
    return answers(item.event)


def _of_own_dice(game: Game, asked: Asked, house: House, number: int | None) -> bool:
    """Whether that entry is about own dice; or nothing else waits, if none is named."""
    if number is None:
        return not game.proposals
    return any(item.entry == number and item.event["type"] == "own dice" for item in events(house, asked.where))


def _own_dice_wait(game: Game, who: str) -> bool:
    """Whether some side has said yes to own dice and this person's has not."""
    mine = [side for side in game.sides if who in side.seats]
    return any(side.own_dice for side in game.sides) and any(not side.own_dice for side in mine)


def _number(request: Agreed | Decline, asked: Asked) -> int | None:
    """The entry that is answered, if it is named, or known by the button or reply."""
    if request.entry is not None or (asked.question is None and asked.matter is None):
        return request.entry
    replied = None if asked.matter is None else asked.matter.entry
    number = replied if asked.question is None else proposed(asked.question)
    if number is None:
        said = f"{request} to which entry? What you answer is not waiting for anybody's agreement"
        raise Misread(said, hint=f"{request} #17")
    return number


def _meant(game: Game, asked: Asked, house: House, number: int | None, request: Agreed | Decline) -> Proposal:
    """What is answered: what was asked in that entry, or what this person may answer, if it is one thing."""
    if number is not None:
        found = next((proposal for proposal in game.proposals if proposal.entry == number), None)
        if found is None:
            raise _waits_no_more(asked, house, number)
        if request.what and request.what.casefold() != found.text.casefold():
            raise Misread(f"#{number} asks for something else: {found.text}", hint=str(replace(request, what="")))
        return found
    if not game.proposals:
        raise Misread("nothing is waiting for anybody's agreement", hint="where are we")
    mine = [one for one in game.proposals if _may_answer(game, asked, one, request)]
    if len(mine) > 1:
        which = listed([f"#{one.entry} {one.text}" for one in mine], "or")
        raise Unsure(f"{request} to which: {which}?", tuple(_naming(request, one) for one in mine))
    return mine[0] if mine else game.proposals[-1]


def _naming(request: Agreed | Decline, proposal: Proposal) -> str:
    """The answer that says what it is to, if that is one line."""
    what = "" if "\n" in proposal.text else proposal.text
    return str(replace(request, entry=proposal.entry, what=what))


def _waits_no_more(asked: Asked, house: House, number: int) -> Misread:
    """That it is over; and what was asked in its place, if anything was."""
    asks = [item for item in events(house, asked.where) if item.event["type"] == "propose"]
    before = [(item.who, item.event.get("about")) for item in asks if item.entry == number]
    later = [item.entry for item in asks if item.entry > number and (item.who, item.event.get("about")) in before]
    instead = f": #{later[-1]} was asked in its place" if later else ""
    return Misread(f"#{number} is not waiting for anybody's agreement any more{instead}", hint="where are we")


def _may_answer(game: Game, asked: Asked, proposal: Proposal, request: Agreed | Decline) -> bool:
    """Those asked may, whoever runs the table, and whoever asked may drop it."""
    if asked.who == proposal.who:
        return isinstance(request, Decline)  # nobody agrees to what they asked themselves, wherever they sit by now
    mine = sides_of(game, asked.who)
    return any(side in mine for side in proposal.sides) or asked.who in proposal.people or may_run(game, asked)


def _only_those_asked(game: Game, asked: Asked, proposal: Proposal, request: Agreed | Decline) -> None:
    if not _may_answer(game, asked, proposal, request):
        of = listed([*proposal.people, *(f"the {side}" for side in proposal.sides)], "or")
        raise Misread(f"that was asked of {of}; one of them says `agreed`")


def decline(request: Decline, asked: Asked, house: House) -> Reply:
    """Nothing happens. Where nothing waits for an answer, the asker's own open question is dropped."""
    game = any_game(house, asked.where)
    waiting = game is not None and game.open and game.proposals
    if game is None or not (waiting or request.entry or asked.question):
        return _dropped(game, asked, house)
    number = _number(request, asked)
    game = open_game(house, asked.where)
    answer = _answered_by(game, asked, house, number)
    if answer is not None:
        return settled(answer)
    proposal = _meant(game, asked, house, number, request)
    _only_those_asked(game, asked, proposal, request)

    def build(game: Game, draft: Draft) -> Made:
        return Made(
            event={"type": "decline", "declines": proposal.entry},
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
