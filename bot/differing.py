"""What tells long choices apart, for labels and lines that a phone can show."""

from __future__ import annotations

from collections.abc import Sequence

_INSISTS = "anyway"
_LEAD = 3  # words alike that may stand before or behind what differs


def briefly(choices: Sequence[str], most: int) -> tuple[str, ...]:
    """The choices, each in one line; if one is longer than `most`, only what differs, cut at words."""
    lines = _differing_lines(choices)
    if all(len(line) <= most for line in lines):
        return lines
    lines = _differing_words(lines)
    short = tuple(cut_within(line, most) for line in lines)
    return short if len(set(short)) == len(set(lines)) else tuple(cut(line, most) for line in lines)


def cut(text: str, most: int) -> str:
    """The text in one line, cut before the word that passes the limit, or within a very long one."""
    line = " ".join(text.split())
    if len(line) <= most:
        return line
    end = line.rfind(" ", most // 2, most)
    return line[: end if end > 0 else most - 1].rstrip(" ,") + "…"


def cut_within(text: str, most: int) -> str:
    """The same without words in its middle: what stands last ("with punt gun anyway") often decides."""
    line = " ".join(text.split())
    if len(line) <= most:
        return line
    end = line[-(most // 3) :].partition(" ")[2]  # whole words
    return f"{cut(line, most - len(end) - 1)} {end}" if end else cut(line, most)


def _differing_lines(choices: Sequence[str]) -> tuple[str, ...]:
    """Of choices with as many lines each, the lines that are not alike; otherwise all in one line."""
    split = [choice.splitlines() or [""] for choice in choices]
    if len({len(lines) for lines in split}) == 1:
        unlike = [place for place, lines in enumerate(zip(*split, strict=True)) if len(set(lines)) > 1]
        split = [[lines[place] for place in unlike or range(len(lines))] for lines in split]
    return tuple(" ".join(" ".join(lines).split()) for lines in split)


def _differing_words(lines: Sequence[str]) -> tuple[str, ...]:
    """Each line without most of the words that all begin with, and without many that all end with."""
    words = [line.split() for line in lines]
    if len(set(lines)) < 2:
        return tuple(lines)
    shortest = min(map(len, words)) - 1  # of each at least one word is left
    front = min(_alike(words), shortest)
    back = min(_alike([row[::-1] for row in words]), shortest - front)
    lead = 0 if front <= _LEAD else front - 1
    rear = 0 if back <= _LEAD else back
    return tuple(_marked(row, lead, len(row) - rear) for row in words)


def _alike(rows: Sequence[Sequence[str]]) -> int:
    """With how many words all the rows begin."""
    unlike = (place for place, words in enumerate(zip(*rows, strict=False)) if len(set(words)) > 1)
    return next(unlike, min(map(len, rows)))


def _marked(words: Sequence[str], first: int, last: int) -> str:
    """Some of the words, with a mark where others were left out; that somebody insists is not left out."""
    kept = " ".join(words[first:last]).rstrip(",:")
    after = "" if last == len(words) else f" … {_INSISTS}" if words[-1] == _INSISTS else " …"
    return f"{'… ' if first else ''}{kept}{after}"
