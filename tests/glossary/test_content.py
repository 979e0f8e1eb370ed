"""Every entry of the glossary is reviewed: links, names, lengths, plain words, no published game in it."""

from __future__ import annotations

import hashlib
import re
from collections import Counter, defaultdict
from pathlib import Path

import pytest
from prose import hardness, phrases, prose, sentences, words
from shelf import ENTRIES, FILES, PATHS, every_entry

from bot.terms import Entry, Level

# Abbreviations that mean two things at the table; a look-up offers both.
AMBIGUOUS = {"d3": {"d3", "damage-die"}, "d6": {"d6", "damage-die"}}

# The families promised, each with its file.
FAMILIES = """
attack casualties charge cover criticals deployment dice manners measuring morale movement natural
probability record rerolls saves statistics time umpire weapons
"""

# Names that may stand in the texts: our own scenario, the bot, a person credited and his title.
PROPER = {
    "Drumhead",
    "Saltmarsh",
    "Wardens",
    "Kiln",
    "Guard",
    "Low",
    "Ferry",
    "Manuel",
    "Blum",
    "Coin",
    "FILE",
    "Sv",
    "I",
}

# Words of published games, kept as digests so that they stand nowhere in plain letters; from memory.
FOREIGN_DIGESTS = """
    a1799b49e806 fb55e0a02f22 a330c66e8bd5 df0bee818747 dc17820e0bd4 7e1c652a4070
    bbaf735c1f4f 97374f08e424 7555437fc8e3 33beba01e689 3a41c41824e3 416c077dc670
    b6287b3962f6 fd2e4774a559 558c16b0b732 5022e5544121 404267bf34bf 01a92b3208a1
    18362ef3b91d 1be8a6895bf0 291cf1ed742e 64f6c53cce62 6a1e4f296938
    95f782eabbed 6df983c20df2 c7b786d56fa9 77878f79b607 daec94bce1b9 cad4058f8c15
    1e6a96dc93ca 7ac1722bb61d da72118af5fd d6db6776d2c6 338e355094d2 c7cc2ec7a6c8
    58f56147300e 2f54b2473c2a 853b2e79f7d3 a5f7056ce3d1 719b055cb5ae 07245f08e66e
    e1a8a49df7b4 287c31fe6bc2 8c13a9026ea8 96db16b696c3 4664e492683d b414c596e3b0
    f2c13d368977 29599995d2c6 5c57510e2091 8ee6f7e7e7b5 4edb14579cba 19c46e9a0abb
    f4044248040b e8298b398501 b58f7fa129c5 72a8a84868a1 69bc823df4bd a3749f9a3a6e
    cff69ef0e505
"""
FOREIGN = frozenset(FOREIGN_DIGESTS.split())


def plain(name: str) -> str:
    """A name as a look-up compares it."""
    return re.sub(r"[\s-]+", " ", name.lower()).strip()


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_every_file_is_one_family(path: Path) -> None:
    file = FILES[path.stem]
    assert file.family == path.stem
    assert file.title
    assert 5 <= len(file.entries) <= 40


def test_every_promised_family_is_there() -> None:
    assert set(FILES) == set(FAMILIES.split())


def test_there_are_enough_entries_for_every_level() -> None:
    counts = Counter(entry.level for entry in ENTRIES.values())
    assert sum(counts.values()) >= 160
    assert counts[Level.LEARNER] >= 60
    assert counts[Level.PLAYER] >= 60
    assert counts[Level.UMPIRE] >= 20


def test_ids_and_titles_are_unique() -> None:
    entries = [entry for file in FILES.values() for entry in file.entries]
    assert [id for id, count in Counter(entry.id for entry in entries).items() if count > 1] == []
    assert [title for title, count in Counter(plain(entry.title) for entry in entries).items() if count > 1] == []


def test_no_two_entries_share_a_name() -> None:
    owners = defaultdict(set)
    for entry in ENTRIES.values():
        for name in (entry.title, entry.id, *entry.names):
            owners[plain(name)].add(entry.id)
    assert {name: ids for name, ids in owners.items() if len(ids) > 1} == {}


def test_abbreviations_are_unique_or_known_to_be_ambiguous() -> None:
    owners = defaultdict(set)
    for entry in ENTRIES.values():
        for abbreviation in entry.abbreviations:
            owners[abbreviation.lower()].add(entry.id)
    assert {short: ids for short, ids in owners.items() if len(ids) > 1} == AMBIGUOUS


def test_no_abbreviation_is_the_name_of_another_entry() -> None:
    names = {plain(name): entry.id for entry in ENTRIES.values() for name in (entry.title, *entry.names)}
    clashes = {
        (short, entry.id, names[plain(short)])
        for entry in ENTRIES.values()
        for short in entry.abbreviations
        if names.get(plain(short), entry.id) != entry.id and plain(short) not in AMBIGUOUS
    }
    assert clashes == set()


@pytest.mark.parametrize("letters", ["AP", "BS", "WS", "S", "T", "W", "A", "M", "Sv", "D", "D6", "D3", "LOS"])
def test_the_letters_on_a_card_can_be_looked_up(letters: str) -> None:
    assert any(letters in entry.abbreviations for entry in ENTRIES.values())


@every_entry
def test_every_link_leads_to_another_entry(entry: Entry) -> None:
    assert entry.see
    assert [id for id in entry.see if id not in ENTRIES] == []
    assert entry.id not in entry.see
    assert len(set(entry.see)) == len(entry.see)


def test_every_entry_can_be_reached_from_another() -> None:
    linked = {id for entry in ENTRIES.values() for id in entry.see}
    assert set(ENTRIES) - linked == set()


@every_entry
def test_the_short_text_is_one_line_for_a_phone(entry: Entry) -> None:
    assert 20 <= len(entry.short) <= 140
    assert entry.short.endswith(".")
    assert len(sentences(entry.short)) == 1


@every_entry
def test_the_text_says_more_than_the_short_one(entry: Entry) -> None:
    assert len(entry.short) * 0.9 < len(entry.text) <= 700
    assert entry.short not in entry.text
    assert entry.text.endswith((".", '"'))


@every_entry
def test_sentences_are_short(entry: Entry) -> None:
    assert [sentence for sentence in sentences(prose(entry)) if len(words(sentence)) > 25] == []


@every_entry
def test_no_entry_reads_harder_than_a_newspaper(entry: Entry) -> None:
    assert hardness(prose(entry)) <= 45


@pytest.mark.parametrize("level", Level)
def test_the_entries_of_a_level_read_as_easily_as_a_story(level: Level) -> None:
    text = " ".join(prose(entry) for entry in ENTRIES.values() if entry.level is level)
    bound = {Level.LEARNER: 28, Level.PLAYER: 30, Level.UMPIRE: 33}[level]
    assert hardness(text) <= bound


@every_entry
def test_the_only_names_in_a_text_are_our_own(entry: Entry) -> None:
    for sentence in sentences(prose(entry)):
        for word in words(sentence)[1:]:
            bare = word.strip("'\"-+#")
            if re.fullmatch(r"[A-Z][a-z]+|[A-Z]{4,}", bare):
                assert bare in PROPER or bare in entry.abbreviations, bare


@every_entry
def test_no_word_of_a_published_game_is_used(entry: Entry) -> None:
    texts = (entry.id, entry.title, entry.short, entry.text, *entry.names, *entry.abbreviations)
    for text in texts:
        for phrase in phrases(text):
            assert hashlib.sha256(phrase.encode()).hexdigest()[:12] not in FOREIGN, phrase


def test_the_digests_would_catch_a_foreign_word() -> None:
    # The last digest is of a phrase written here, which no game owns, so that the check is known to work.
    assert any(hashlib.sha256(p.encode()).hexdigest()[:12] in FOREIGN for p in phrases("A drumhead is no teapot."))


def test_no_entry_gives_the_same_name_twice() -> None:
    for entry in ENTRIES.values():
        known = [plain(name) for name in (entry.title, *entry.names)]
        assert len(set(known)) == len(known), entry.id
