"""Whatever `help` offers can be typed as it stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.content import load_help
from bot.help_topics import Topic
from tests.conversation import say, umpire

TOPICS = load_help().topics


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.id)
def test_every_offered_message_is_answered_in_one_sitting(topic: Topic, tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        for message in [saying.say for saying in topic.sayings]:
            reply = say(app, message)
            assert reply.kind not in ("misread", "choice", "trouble", "unknown"), (message, reply.title)
            if message.startswith("cut"):
                say(app, "roll 2 attacks, hit 4+, S4 into T4, no save")


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.id)
def test_a_topic_is_found_by_its_name_and_by_the_start_of_its_messages(topic: Topic, tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        assert say(app, f"help {topic.id}").machine["topic"] == topic.id


def test_an_unknown_topic_lists_what_there_is(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        reply = say(app, "help basket weaving")
    assert reply.title.startswith("no help on")
    assert reply.machine["topics"] == [topic.id for topic in TOPICS]
