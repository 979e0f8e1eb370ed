"""What the channel itself says, beside what the umpire answers."""

from __future__ import annotations

from bot.reply import Line, Reply

SLOW_DOWN = Reply("slow down", "One moment, please: that is more than I can take in. Try again in a few seconds.")
TOO_OLD = Reply("trouble", "I no longer know that button. Say it as a message, please.")
OLD_COMMAND = Reply(
    "trouble", "That command has changed. Restart your app to see it as it is now, or say it as a message, please."
)
CLOSING = Reply("trouble", "I am just closing for a moment; please say that again in a minute.")
NOT_YOURS = Reply("trouble", "Only somebody who moderates this channel may change how I listen here.")
ALL_HEARD = Reply("listening", "Here, between you and me, I answer everything you say.")
PICTURE_ONLY = Reply("trouble", "I cannot see pictures. Say it in words, please; `help` shows how.")
UNREADABLE = Reply("trouble", "I cannot read what does not mention me myself. Say it with my name in it, please.")


def too_large(name: str, size: int, most: int) -> Reply:
    """A roster file beyond the limit."""
    return Reply("trouble", f"{name} has {size:,} bytes; a roster file has at most {most:,}. Nothing was loaded.")


def unfetched(name: str) -> Reply:
    """A roster file that the service no longer gives out."""
    return Reply("trouble", f"{name} could not be fetched, so nothing was loaded. Attach it again, please.")


def unheard(name: str) -> Reply:
    """That a person's command or button got no answer, or may have got none; it goes to where all can read it."""
    told = "as far as I can tell, my answer to your command or button did not get through."
    return Reply("trouble", f"{name}, {told} If you do not see it, please try again.")


def listening(on: bool, readable: bool) -> Reply:
    """That a channel has opted in to plain messages, or out; `readable` is whether the host lets them be read."""
    if not on:
        return Reply("listening", "From now on I answer here only what is addressed to me.")
    on_what = "messages that begin with a verb or a unit's action and read completely"
    if not readable:
        title = "I cannot read plain messages yet: my host has not let me (plain_messages in bot.yaml)."
        return Reply("listening", title, (Line(f"Until then address me, please; after that I act here on {on_what}."),))
    return Reply("listening", f"From now on I act here on {on_what}.", (Line("Table talk stays unanswered."),))
