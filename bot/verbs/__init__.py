"""The verbs: one small file for each, answer(request, asked, house) -> Reply. The registry is written out here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply

Verb = Callable[[Any, Asked, House], Reply]

VERBS: Mapping[type, Verb] = {}
