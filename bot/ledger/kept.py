"""How replies are kept: a reply to JSON text and back, block by block."""

from __future__ import annotations

import json
from dataclasses import asdict, fields
from typing import Any

from bot.asked import Question
from bot.reply import Bars, Block, Caret, Dice, Line, Note, Picture, Reply, Shell, Table

_BLOCKS: dict[str, type[Block]] = {
    kind.__name__.lower(): kind for kind in (Line, Dice, Table, Bars, Caret, Note, Shell, Picture)
}


def reply_to_json(reply: Reply) -> str:
    """The reply as one JSON object."""
    asks = {} if reply.asks is None else {"asks": asdict(reply.asks)}
    return dumps(
        {
            "kind": reply.kind,
            "title": reply.title,
            "blocks": [_packed(block) for block in reply.blocks],
            "data": reply.data,
            "offers": reply.offers,
            "private": reply.private,
        }
        | asks
    )


def reply_from_json(text: str) -> Reply:
    """The reply that was kept."""
    kept = json.loads(text)
    kept["blocks"] = tuple(_unpacked(block) for block in kept["blocks"])
    kept["offers"] = tuple(kept["offers"])
    if "asks" in kept:
        kept["asks"] = Question(**kept["asks"])
    return Reply(**kept)


def dumps(value: Any) -> str:
    """JSON as the record keeps it; the order of keys stays."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _packed(block: Block) -> dict[str, Any]:
    values = {field.name: getattr(block, field.name) for field in fields(block)}
    return {"block": type(block).__name__.lower(), **values}


def _unpacked(kept: dict[str, Any]) -> Block:
    kind = _BLOCKS[kept.pop("block")]
    return kind(**{name: _frozen(value) for name, value in kept.items()})


def _frozen(value: Any) -> Any:
    """Lists are tuples in blocks, however deep."""
    return tuple(map(_frozen, value)) if isinstance(value, list) else value
