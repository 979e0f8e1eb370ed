"""Buttons, selects and forms as the chat shows them. They hold no code: what is pressed is read from its id."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import discord

from bot.channels.discord_offers import MOST_BUTTONS, MOST_LABEL, Act, Offer
from bot.differing import cut, cut_within

MOST_OPTION_TEXT = 100  # also of the words below a form's label
MOST_TITLE = 45
MOST_INPUT = 400
FIELD = "words"
PICK = "pick"


def view_of(offers: Sequence[tuple[Offer, str]]) -> discord.ui.View | None:
    """The offers with their custom ids as buttons, or as one select if they are many; None without any."""
    unique = list({id: (offer, id) for offer, id in offers}.values())
    if not unique:
        return None
    view = discord.ui.View(timeout=None)
    if len(unique) <= MOST_BUTTONS:
        for offer, id in unique:
            view.add_item(_button(offer, id))
    else:
        view.add_item(_select(unique))
    view.stop()  # nothing waits for it in memory; what is pressed arrives as an interaction
    return view


def _button(offer: Offer, id: str) -> discord.ui.Button[discord.ui.View]:
    first = offer.act is Act.SAY and offer.text.startswith("roll")
    style = discord.ButtonStyle.primary if first else discord.ButtonStyle.secondary
    return discord.ui.Button(label=cut_within(offer.label, MOST_LABEL), custom_id=id, style=style)


def _select(offers: Sequence[tuple[Offer, str]]) -> discord.ui.Select[discord.ui.View]:
    options = [
        discord.SelectOption(label=cut(offer.label, MOST_OPTION_TEXT), value=id) for offer, id in offers
    ]
    return discord.ui.Select(custom_id=PICK, placeholder="choose one", options=options)


def form_of(offer: Offer, custom_id: str) -> discord.ui.Modal:
    """The form that asks for own dice, or for the answer to a question."""
    own = offer.act is Act.OWN_DICE
    title = "Your own dice" if own else "Your answer"
    label = "Faces in the order rolled" if own else cut(offer.text, MOST_TITLE)
    hint = "6 4 4 2 1: hits, then wounds, then saves" if own else None
    form = discord.ui.Modal(title=title, custom_id=custom_id, timeout=None)
    field: discord.ui.TextInput[Any] = discord.ui.TextInput(custom_id=FIELD, placeholder=hint, max_length=MOST_INPUT)
    whole = None if own or label == offer.text else cut(offer.text, MOST_OPTION_TEXT)
    form.add_item(discord.ui.Label(text=label, description=whole, component=field))
    form.stop()
    return form


def filled_in(data: Mapping[str, Any]) -> str:
    """What was typed into a form, whichever way its fields are nested."""
    for row in data.get("components") or []:
        for field in row.get("components") or [row.get("component") or {}]:
            if field.get("custom_id") == FIELD:
                return " ".join(str(field.get("value") or "").split())
    return ""


def pressed(data: Mapping[str, Any]) -> str:
    """The custom id of the offer that was pressed or picked."""
    return str(next(iter(data.get("values") or []), None) or data.get("custom_id") or "")
