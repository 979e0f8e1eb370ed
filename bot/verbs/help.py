"""help: what can be said, topic by topic; a topic or the first words of a message show a topic whole."""

from __future__ import annotations

from bot.asked import Asked
from bot.content import load_help
from bot.help_topics import Topic
from bot.house import House
from bot.reply import Line, Note, Reply
from bot.requests.words import Help


def answer(request: Help, asked: Asked, house: House) -> Reply:
    """All topics in short, or one of them."""
    topics = load_help().topics
    if request.topic is None:
        return _all(topics, "what you can say")
    found = next((topic for topic in topics if _fits(topic, request.topic)), None)
    return _all(topics, f"no help on {request.topic}; there is") if found is None else _one(found)


def _fits(topic: Topic, words: str) -> bool:
    """Whether the topic goes by these words, or one of its messages begins with them."""
    wanted = words.lower().strip()
    names = (topic.id, topic.title.lower(), *(saying.say.lower() for saying in topic.sayings))
    return any(name.startswith(wanted) for name in names)


def _all(topics: tuple[Topic, ...], title: str) -> Reply:
    lines = [Line(f"{topic.id}: {topic.sayings[0].say}") for topic in topics]
    about = Note("`help attacks` and so on show more of a kind")
    said = {"topics": [topic.id for topic in topics]}
    return Reply("help", title, (*lines, about), said, private=True)


def _one(topic: Topic) -> Reply:
    lines = [block for saying in topic.sayings for block in (Line(saying.say), Note(saying.does))]
    said = {"topic": topic.id, "say": [saying.say for saying in topic.sayings]}
    return Reply("help", topic.title, (Line(topic.about), *lines), said, private=True)
