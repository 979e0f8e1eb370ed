"""help: what can be said to the umpire, in examples that can be sent as they stand."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Line, Note, Reply, Table
from bot.requests.words import Help

EXAMPLES: tuple[tuple[str, str], ...] = (
    ("reckon", "10 shots hitting on 4s, S5 AP-1 into T4, 3+ save, 2 wounds each"),
    ("roll", "roll 5 models with 2 attacks each, WS3+, S4 into T4, save 3+"),
    ("own dice", "roll 4 attacks, hit 4+, S4 into T4, save 3+ with dice 6 4 4 2 1"),
    ("compare", "compare 10 shots, 4+, S4 into T4, 3+ or 4 shots, 3+, S8 into T4, 3+"),
    ("needs", "what does S5 need against T4?"),
    ("charge", "charge from 6.5"),
    ("dice", "dice 3d6+2"),
    ("terms", "what is AP"),
    ("rules", "can I shoot after advancing?"),
    ("record", "log"),
    ("own words", "words"),
)


def answer(request: Help, asked: Asked, house: House) -> Reply:
    """All examples, or those whose name or words hold the topic."""
    topic = (request.topic or "").lower()
    fitting = tuple(row for row in EXAMPLES if topic in f"{row[0]} {row[1]}".lower())
    rows = fitting or EXAMPLES
    told = () if fitting or not topic else (Line(f'nothing here about "{request.topic}"; `what is …` asks for a term'),)
    note = Note("A question or a description is reckoned; only `roll` rolls.")
    data = {"examples": [{"about": about, "message": message} for about, message in rows]}
    return Reply("help", "what you can say", (*told, Table(("for", "say"), rows), note), data, private=True)
