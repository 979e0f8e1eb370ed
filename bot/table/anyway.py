"""What the ruleset forbids is warned about and needs `anyway`: an umpire advises, players decide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from bot.misread import Misread, Unsure
from bot.requests.action import Act, ChargeAt, Strike
from bot.table.permit import Verdict, objection_words


def unless_insisted(request: Act | ChargeAt | Strike, found: Sequence[Verdict]) -> dict[str, Any]:
    """What the event keeps of a warning that was overruled; without `anyway` the warning itself."""
    if not found:
        return {}
    final = [verdict for verdict in found if verdict.final]
    if final:
        raise Misread(objection_words(final[0]), hint="where are we")
    if not request.anyway:
        warned = ". Also: ".join(dict.fromkeys(objection_words(verdict).rstrip(".") for verdict in found)) + "."
        raise Unsure(f"no: {warned}", (str(replace(request, anyway=True)),))
    overruled: dict[str, Any] = {"anyway": [verdict.fact for verdict in found]}
    return overruled | ({"because": request.because} if request.because else {})


def insisted_words(event: dict[str, Any]) -> str:
    """How the record says that a warning was overruled."""
    if "anyway" not in event:
        return ""
    because = f", because {event['because']}" if "because" in event else ""
    return f" (anyway, although {'; '.join(event['anyway'])}{because})"
