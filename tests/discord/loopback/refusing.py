"""What the documentation says is refused: payloads of messages, components, forms and commands are looked over."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from tests.references import discord_limits as limits

ROW, BUTTON, SELECT, INPUT, LABEL = 1, 2, 3, 4, 18


class Refusal(Exception):
    """The service answers with this status and code instead of doing it."""

    def __init__(self, status: int, code: int, message: str) -> None:
        super().__init__(message)
        self.status, self.code, self.message = status, code, message


def invalid(message: str) -> Refusal:
    return Refusal(400, 50035, f"Invalid Form Body: {message}")


def _within(what: str, text: Any, most: int, least: int = 1) -> None:
    if not isinstance(text, str) or not least <= len(text) <= most:
        raise invalid(
            f"{what} is {least} to {most} characters, got {len(text) if isinstance(text, str) else text!r}"
        )


def _at_most(what: str, items: list[Any], most: int) -> list[Any]:
    if len(items) > most:
        raise invalid(f"at most {most} {what}, got {len(items)}")
    return items


def check_message(data: dict[str, Any], files: int) -> None:
    """A message to be created or edited."""
    content = data.get("content") or ""
    _within("content", content, limits.CONTENT, 0)
    _at_most("embeds", data.get("embeds") or [], limits.EMBEDS)
    if "nonce" in data:
        _within("nonce", str(data["nonce"]), limits.NONCE)
    if not content.strip() and not data.get("embeds") and not files and not data.get("components"):
        raise Refusal(400, 50006, "Cannot send an empty message")
    check_components(data.get("components") or [])
    for attachment in data.get("attachments") or []:
        _within("alternative text", attachment.get("description") or "", limits.ALTERNATIVE_TEXT, 0)


def check_components(rows: list[dict[str, Any]]) -> None:
    """The rows of buttons or a select under a message."""
    ids: list[str] = []
    for row in _at_most("action rows", rows, limits.ACTION_ROWS):
        children = row.get("components") or []
        if row.get("type") != ROW or not children:
            raise invalid("components stand in action rows, and no row is empty")
        for child in _at_most("buttons in a row", children, limits.BUTTONS):
            _check_child(child, len(children))
            ids.append(child["custom_id"])
    if len(ids) != len(set(ids)):
        raise invalid("custom ids of one message differ")


def _check_child(child: dict[str, Any], beside: int) -> None:
    _within("custom id", child.get("custom_id"), limits.CUSTOM_ID)
    if child["type"] == BUTTON:
        _within("button label", child.get("label"), limits.BUTTON_LABEL)
    elif child["type"] == SELECT:
        _check_select(child, beside)
    else:
        raise invalid(f"a component of type {child['type']} stands in no message row")


def _check_select(child: dict[str, Any], beside: int) -> None:
    if beside != 1:
        raise invalid("a select stands alone in its row")
    options = _at_most("options", child.get("options") or [], limits.SELECT_OPTIONS)
    if not options:
        raise invalid("a select has at least one option")
    values = [option.get("value") for option in options]
    for option in options:
        _within("option label", option.get("label"), limits.SELECT_TEXT)
        _within("option value", option.get("value"), limits.SELECT_TEXT)
        _within("option description", option.get("description") or "", limits.SELECT_TEXT, 0)
    if len(values) != len(set(values)):
        raise invalid("option values differ")


def check_form(data: dict[str, Any]) -> None:
    """A form (modal): up to five inputs, each under a label or in a row of its own."""
    _within("title", data.get("title"), limits.MODAL_TITLE)
    _within("custom id", data.get("custom_id"), limits.CUSTOM_ID)
    rows = _at_most("inputs", data.get("components") or [], 5)
    if not rows:
        raise invalid("a form has at least one input")
    for row in rows:
        field = row["component"] if row["type"] == LABEL else row["components"][0]
        _within("label", row.get("label") or field.get("label"), limits.INPUT_LABEL)
        _within("label's description", row.get("description") or "", limits.SELECT_TEXT, 0)
        _within("custom id", field.get("custom_id"), limits.CUSTOM_ID)
        _within("placeholder", field.get("placeholder") or "", limits.INPUT_PLACEHOLDER, 0)


def check_suggestions(data: dict[str, Any]) -> None:
    """What autocomplete offers."""
    for choice in _at_most("suggestions", data.get("choices") or [], limits.SUGGESTIONS):
        _within("suggestion", choice.get("name"), limits.CHOICE_TEXT)
        if isinstance(choice.get("value"), str):
            _within("suggestion value", choice["value"], limits.CHOICE_TEXT)


def check_commands(commands: list[dict[str, Any]]) -> None:
    """All commands of the application."""
    _at_most("commands", commands, limits.COMMANDS)
    names = [command.get("name") for command in commands]
    if len(names) != len(set(names)):
        raise invalid("command names differ")
    for command in commands:
        _check_named(command)
        if _size(command) > limits.COMMAND_SIZE:
            raise invalid(f"/{command['name']} is larger than {limits.COMMAND_SIZE} characters")


def _check_named(item: dict[str, Any]) -> None:
    name = item.get("name") or ""
    if re.fullmatch(limits.COMMAND_NAME, name) is None or name != name.lower():
        raise invalid(f"{name!r} is no command or option name")
    _within("description", item.get("description"), limits.DESCRIPTION)
    options = _at_most("options", item.get("options") or [], limits.OPTIONS)
    required = [bool(option.get("required")) for option in options]
    if required != sorted(required, reverse=True):
        raise invalid(f"required options of /{name} come first")
    for option in options:
        _check_named(option)
        choices = _at_most("choices", option.get("choices") or [], limits.CHOICES)
        if choices and option.get("autocomplete"):
            raise invalid("choices and autocomplete exclude each other")
        for choice in choices:
            _within("choice", choice.get("name"), limits.CHOICE_TEXT)


def _size(item: dict[str, Any]) -> int:
    own = len(item.get("name") or "") + len(item.get("description") or "")
    return (
        own
        + sum(map(_size, _inner(item)))
        + sum(len(str(c["name"]) + str(c["value"])) for c in item.get("choices") or [])
    )


def _inner(item: dict[str, Any]) -> Iterable[dict[str, Any]]:
    return item.get("options") or []
