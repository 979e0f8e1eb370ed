"""A table gives one of our clauses a word of its own.

call = "call" WORD ["="] clause+ | "call" WORD "nothing"
"""

from __future__ import annotations

import re
from itertools import pairwise

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.context import Context
from bot.reading.hints import CLAUSE_WORDS, VOCABULARY, unknown
from bot.reading.message import Message
from bot.reading.scan import scan
from bot.reading.synonyms import LONGEST_WORD, line_of
from bot.requests.words import CallWord

_CALL = re.compile(r"\s*call (?P<rest>.*\S)\s*", re.DOTALL)
_QUOTED = re.compile(r"[\"'](?P<word>[^\"]+?)[\"'](?:\s*[=:,])?\s*(?P<meaning>.*)", re.DOTALL)
_MARKED = re.compile(r"(?P<word>[^=:]+?)\s*[=:]\s*(?P<meaning>.*)", re.DOTALL)
_ASKING = frozenset(
    ("what", "who", "which", "when", "where", "why", "how", "can", "may", "must", "is", "does", "it", "me")
)
_NOTHING = frozenset(("nothing", "nothing.", "no more"))


def call_family(message: Message, context: Context) -> CallWord | None:
    """The word that is called something."""
    call = _CALL.fullmatch(message.plain)
    return None if call is None else _call(message, call.start("rest"), call["rest"], context)


def _call(message: Message, start: int, rest: str, context: Context) -> CallWord:
    match = _QUOTED.fullmatch(rest) or _MARKED.fullmatch(rest)
    if match is None:
        return _split(message, start, rest, context)
    word, meaning = match["word"].strip(), match["meaning"].strip()
    at = start + match.start("word")
    if meaning not in _NOTHING:
        _check_meaning(message, start + match.start("meaning"), context)
    return _word(message, word, meaning, (at, at + len(match["word"])))


def _split(message: Message, start: int, rest: str, context: Context) -> CallWord:
    """Without a mark, the word ends where the rest says something."""
    pieces = list(re.finditer(r"\S+", rest))
    for first, second in pairwise(pieces):
        meaning = rest[second.start() :]
        if meaning in _NOTHING or _says_something(Message(message.text[start + second.start() :]), context):
            return _word(message, rest[: first.end()], meaning, (start, start + first.end()))
    hint = 'call "sweep" half range double attacks'
    if len(pieces) > 1:
        _check_meaning(message, start + pieces[1].start(), context)
    raise Misread("call what what? A word of yours, then a clause of mine", (start, start + len(rest)), hint=hint)


def _says_something(meaning: Message, context: Context) -> bool:
    """Whether the words are clauses, or the bare name of one."""
    line = line_of(meaning, {})
    if len(line.atoms) <= 2 and all(atom.text in CLAUSE_WORDS for atom in line.atoms):
        return True
    try:
        scan(line, context.ruleset.die)
    except Misread:
        return False
    return True


def _check_meaning(message: Message, start: int, context: Context) -> None:
    """Complain of the first word of a meaning that is none of ours."""
    whole = line_of(message, {})
    first = next((i for i, atom in enumerate(whole.atoms) if atom.start >= start), len(whole.atoms))
    line: Line = whole.part(first, len(whole.atoms))
    if not line.atoms:
        raise Misread(
            "what does it mean?",
            (len(message.text.rstrip()) - 1, len(message.text.rstrip())),
            hint="call … critical hits wound",
        )
    if not _says_something(Message(message.text[start:]), context):
        for index, atom in enumerate(line.atoms):
            if atom.text[0].isalpha() and atom.text not in VOCABULARY:
                raise unknown(line, index)
        scan(line, context.ruleset.die)


def _word(message: Message, word: str, meaning: str, at: tuple[int, int]) -> CallWord:
    line = line_of(Message(word), {})
    if len(word) > LONGEST_WORD:
        raise Misread(f"a word of yours is at most {LONGEST_WORD} characters", at)
    if not any(atom.text[0].isalpha() for atom in line.atoms) or '"' in word:
        raise Misread("a word of yours is made of letters", at)
    if meaning in _NOTHING:
        return CallWord(word, None)
    if word.casefold() in _ASKING:
        raise Misread(f'"{word}" is needed to ask with', at, hint="choose a word of your own")
    if all(atom.text in VOCABULARY or not atom.text[0].isalpha() for atom in line.atoms):
        raise Misread(f'"{word}" already means something to me', at, hint="choose a word of your own")
    return CallWord(word, meaning)
