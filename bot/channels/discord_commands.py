"""Slash commands in the trade's plain words: each builds the message a player would type and has it answered."""

from __future__ import annotations

from typing import Any, Protocol, TypeAlias

import discord
from discord import app_commands
from discord.app_commands import Choice, Range

from bot.channels.discord_refusals import within_bounds
from bot.channels.discord_slash_text import AttackOptions, asks, charge_message, needs_message, opened

MOST_SUGGESTIONS = 25
LONGEST_SUGGESTION = 100

Words: TypeAlias = Range[str, 1, 1500]
Name: TypeAlias = Range[str, 1, 80]
Face: TypeAlias = Range[int, 2, 100]  # the ruleset that is played knows the faces of its dice
Stat: TypeAlias = Range[int, 1, 100]
Inches: TypeAlias = Range[float, 0, 200]
Number: TypeAlias = Range[int, 1, 1_000_000]
Asked: TypeAlias = discord.Interaction[Any]


class Umpire(Protocol):
    """What the commands need of the client."""

    async def say(self, interaction: Asked, text: str, *, public: bool = False) -> None:
        """Have a message answered; `public` answers are for the whole channel."""

    async def suggested(self, interaction: Asked, kind: str, typed: str) -> list[str]:
        """Completions of one kind."""

    async def set_listening(self, interaction: Asked, on: bool) -> None:
        """Opt the channel in to plain messages, or out."""


def umpire(interaction: Asked) -> Umpire:
    client: Umpire = interaction.client
    return client


async def _suggest(interaction: Asked, kind: str, typed: str) -> list[Choice[str]]:
    found = await umpire(interaction).suggested(interaction, kind, typed)
    short = [name for name in found if 0 < len(name) <= LONGEST_SUGGESTION]
    return [Choice(name=name, value=name) for name in short[:MOST_SUGGESTIONS]]


async def _terms(interaction: Asked, current: str) -> list[Choice[str]]:
    return await _suggest(interaction, "terms", current)


async def _units(interaction: Asked, current: str) -> list[Choice[str]]:
    return await _suggest(interaction, "units", current)


async def _attacks(interaction: Asked, current: str) -> list[Choice[str]]:
    return await _suggest(interaction, "attacks", current)


async def _openings(interaction: Asked, current: str) -> list[Choice[str]]:
    return await _suggest(interaction, "openings", current)


_WEAPON = {
    "attack": "the attack in your own words: 10 shots, hit 4+, S5 AP-1 into T4, save 3+, or Wardens shoot Kiln Guard",
    "attacks": "how many dice: 10, or 2d6",
    "hit": "the number that hits: 4 for 4+",
    "strength": "strength of the weapon",
    "ap": "armour penetration, without the minus: 2 for AP-2",
    "damage": "damage of each unsaved wound: 2, or d6",
    "toughness": "toughness of the target",
    "save": "armour save of the target: 3 for 3+",
    "wounds": "wounds of each target model",
    "models": "models in the target unit",
}


@app_commands.command(name="roll", description="Roll an attack: to hit, to wound, saves, and who is off the table")
@app_commands.describe(**_WEAPON, dice="your own dice, in the order asked: 6 4 4 2 1")
@app_commands.autocomplete(attack=_attacks)
async def roll(
    interaction: Asked,
    attack: Words | None = None,
    attacks: Words | None = None,
    hit: Face | None = None,
    strength: Stat | None = None,
    ap: Range[int, 0, 10] | None = None,
    damage: Words | None = None,
    toughness: Stat | None = None,
    save: Face | None = None,
    wounds: Stat | None = None,
    models: Stat | None = None,
    dice: Words | None = None,
) -> None:
    options = AttackOptions(
        attack=attack, attacks=attacks, hit=hit, strength=strength, ap=ap, damage=damage, toughness=toughness,
        save=save, wounds=wounds, models=models, dice=dice,
    )  # fmt: skip
    await umpire(interaction).say(interaction, options.message("roll"), public=True)


@app_commands.command(name="odds", description="Reckon an attack exactly; nothing is rolled")
@app_commands.describe(**_WEAPON)
@app_commands.autocomplete(attack=_attacks)
async def odds(
    interaction: Asked,
    attack: Words | None = None,
    attacks: Words | None = None,
    hit: Face | None = None,
    strength: Stat | None = None,
    ap: Range[int, 0, 10] | None = None,
    damage: Words | None = None,
    toughness: Stat | None = None,
    save: Face | None = None,
    wounds: Stat | None = None,
    models: Stat | None = None,
) -> None:
    options = AttackOptions(
        attack=attack, attacks=attacks, hit=hit, strength=strength, ap=ap, damage=damage, toughness=toughness,
        save=save, wounds=wounds, models=models,
    )  # fmt: skip
    await umpire(interaction).say(interaction, options.message("odds"))


@app_commands.command(name="compare", description="Two attacks side by side: which one slays more?")
@app_commands.describe(first="one whole attack, with its target", second="the other whole attack")
async def compare(interaction: Asked, first: Words, second: Words) -> None:
    await umpire(interaction).say(interaction, f"compare {first} or {second}")


@app_commands.command(name="needs", description="What one die needs, and why")
@app_commands.describe(
    question="in your own words: what does S5 need against T4",
    strength="strength of the weapon",
    toughness="toughness of the target",
    save="armour save of the target: 3 for 3+",
    ap="armour penetration, without the minus: 2 for AP-2",
)
async def needs(
    interaction: Asked,
    question: Words | None = None,
    strength: Stat | None = None,
    toughness: Stat | None = None,
    save: Face | None = None,
    ap: Range[int, 0, 10] | None = None,
) -> None:
    await umpire(interaction).say(interaction, needs_message(question, strength, toughness, save, ap))


@app_commands.command(name="dice", description="Roll loose dice, on the record")
@app_commands.describe(dice="which dice: 3d6+2")
async def dice(interaction: Asked, dice: Words) -> None:
    await umpire(interaction).say(interaction, opened(dice, "dice"), public=True)


@app_commands.command(name="charge", description="The chance of a charge, or the charge itself")
@app_commands.describe(
    number="the number needed on 2D6: 9", measured="inches on the tape instead: 6.5", roll="true to throw the dice"
)
async def charge(
    interaction: Asked,
    number: Range[int, 1, 24] | None = None,
    measured: Inches | None = None,
    roll: bool = False,
) -> None:
    await umpire(interaction).say(interaction, charge_message(number, measured, roll), public=roll)


@app_commands.command(name="reach", description="Can a unit at this distance charge us next turn?")
@app_commands.describe(distance="inches between the units now", move="the unit's move")
async def reach(interaction: Asked, distance: Inches, move: Inches) -> None:
    await umpire(interaction).say(interaction, f"reach from {distance:g} with M{move:g}")


@app_commands.command(name="advance", description="Move and a D6: the chances, or the roll")
@app_commands.describe(move="the unit's move", roll="true to throw the die")
async def advance(interaction: Asked, move: Inches, roll: bool = False) -> None:
    verb = "roll advance" if roll else "advance"
    await umpire(interaction).say(interaction, f"{verb} with M{move:g}", public=roll)


@app_commands.command(name="roll-off", description="Both sides throw a die; ties are thrown again")
async def roll_off(interaction: Asked) -> None:
    await umpire(interaction).say(interaction, "roll off", public=True)


@app_commands.command(name="what-is", description="What a word or an abbreviation means")
@app_commands.describe(term="AP, coherency, fixed save …")
@app_commands.autocomplete(term=_terms)
async def what_is(interaction: Asked, term: Words) -> None:
    await umpire(interaction).say(interaction, opened(term, "what is"))


@app_commands.command(name="can-i", description="Whether the rules allow it, and why")
@app_commands.describe(question="shoot after advancing")
async def can_i(interaction: Asked, question: Words) -> None:
    await umpire(interaction).say(interaction, opened(question, "can I", "can", "may"))


@app_commands.command(name="show", description="One entry of the record, whole")
@app_commands.describe(number="its number: 17 for #17")
async def show(interaction: Asked, number: Number) -> None:
    await umpire(interaction).say(interaction, f"show #{number}")


@app_commands.command(name="why", description="The numbers of a roll, with their reasons")
@app_commands.describe(number="the roll's number; the last attack if left out")
async def why(interaction: Asked, number: Number | None = None) -> None:
    await umpire(interaction).say(interaction, "why" if number is None else f"why #{number}")


@app_commands.command(name="log", description="The last entries of the record")
@app_commands.describe(count="how many")
async def log(interaction: Asked, count: Range[int, 1, 100] = 10) -> None:
    await umpire(interaction).say(interaction, f"log {count}")


@app_commands.command(name="table", description="Anything about the table: open it, act, mend, ask")
@app_commands.describe(message="Wardens shoot the Kiln Guard at 14, sit with Kiln Guard, where are we …")
@app_commands.autocomplete(message=_openings)
async def table(interaction: Asked, message: Words) -> None:
    await umpire(interaction).say(interaction, message, public=not asks(message))


@app_commands.command(name="unit", description="A unit's stat line, what is left of it and what it did")
@app_commands.describe(name="which unit")
@app_commands.autocomplete(name=_units)
async def unit(interaction: Asked, name: Name) -> None:
    await umpire(interaction).say(interaction, f"show unit {name}")


@app_commands.command(name="what-now", description="What each unit may still do")
async def what_now(interaction: Asked) -> None:
    await umpire(interaction).say(interaction, "what now")


@app_commands.command(name="next-phase", description="On to the next phase")
async def next_phase(interaction: Asked) -> None:
    await umpire(interaction).say(interaction, "next phase", public=True)


@app_commands.command(name="undo", description="Take back an entry of the table; nothing is erased")
@app_commands.describe(number="its number; the last one if left out")
async def undo(interaction: Asked, number: Number | None = None) -> None:
    await umpire(interaction).say(interaction, "undo" if number is None else f"undo #{number}", public=True)


@app_commands.command(name="page", description="The page of the record and the seal on its dice")
async def page(interaction: Asked) -> None:
    await umpire(interaction).say(interaction, "page")


@app_commands.command(name="help", description="What I can do, and how to say it")
async def help_(interaction: Asked) -> None:
    await umpire(interaction).say(interaction, "help")


@app_commands.command(name="listen", description="Act on plain messages in this channel, or only when addressed")
@app_commands.describe(on="true: a message that begins with a verb and reads completely is answered without a mention")
@app_commands.default_permissions(manage_messages=True)
async def listen(interaction: Asked, on: bool) -> None:
    await umpire(interaction).set_listening(interaction, on)


COMMANDS: tuple[app_commands.Command[Any, ..., None], ...] = (
    roll, odds, compare, needs, dice, charge, reach, advance, roll_off, what_is, can_i, show, why, log, table, unit,
    what_now, next_phase, undo, page, help_, listen,
)  # fmt: skip
for command in COMMANDS:
    command.add_check(within_bounds)
