"""The seal: its primitives against published vectors, its faces against a page worked out elsewhere."""

from __future__ import annotations

import hashlib
import hmac
from collections import Counter
from fractions import Fraction
from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st
from recording import FIGURES, dice

from resolver.refused import Refused
from resolver.sealed import Stream, bytes_of_roll, checked_cut, commitment, page_key

SECRET = bytes(range(32))
# Worked out with OpenSSL, not with Python; every line is one command of a shell:
#   S=$(printf '%02x' $(seq 0 31)); H="openssl dgst -sha256 -mac HMAC -r -macopt"
#   printf "$(printf '\\x%02x' $(seq 0 31))" | openssl dgst -sha256 -r
#   K=$(printf 'drumhead page 1\n2026-11-25-1\nthe tide is out\nébène' | $H hexkey:$S | cut -c1-64)
#   printf '17:0' | $H hexkey:$K;  printf '17:1' | $H hexkey:$K
OPENSSL_COMMITMENT = "630dcd2966c4336691125448bbb25b4ff412a49c732db2c8abc1b8581bd710dd"
OPENSSL_KEY = "2ef96ab6e890f0cccba7e9fbb8f1c968b97264d237664b9eb2ef7a8f28751d10"
OPENSSL_BLOCKS = (
    "feb709ca4bdae0e2457f664feff52154f3b9ba1463fde6001087823e34818ea8",
    "04af28c2215e15aed1d5d6579bdd69c7bf133aff0c69d839241fcd52b5fb2446",
)
CUTS = ("the tide is out", "ébène")


def vector(case: dict[str, str], name: str) -> bytes:
    return bytes.fromhex(case[f"{name}_hex"]) if f"{name}_hex" in case else case[name].encode()


@pytest.mark.parametrize("name", [f"TC{i}" for i in range(1, 8)])
def test_the_message_code_is_that_of_its_standard(name: str) -> None:
    figure = FIGURES["rfc4231_hmac_sha256"]
    case, published = figure["inputs"][name], figure["expected"][name]["published"]
    code = hmac.digest(vector(case, "key"), vector(case, "data"), "sha256").hex()
    assert code.startswith(published)  # case 5 is printed truncated


@pytest.mark.parametrize(
    ("message", "name"),
    [(b"abc", "abc"), (b"", "empty"), (b"a" * 1_000_000, "million_a")],
    ids=["abc", "empty", "a million letters"],
)
def test_a_commitment_is_the_hash_of_its_standard(message: bytes, name: str) -> None:
    assert commitment(message) == FIGURES["fips180_sha256"]["expected"][name]["published"]


@pytest.mark.parametrize("message", ["d3", "11af", "b4190e", "74ba2521", "c299209682"])
def test_a_commitment_is_the_hash_of_the_validation_suite(message: str) -> None:
    published = FIGURES["cavs_sha256_short"]["expected"][message]["published"]
    assert commitment(bytes.fromhex(message)) == published


def test_commitment_key_and_bytes_are_those_that_openssl_gives() -> None:
    assert commitment(SECRET) == OPENSSL_COMMITMENT
    key = page_key(SECRET, "2026-11-25-1", CUTS)
    assert key.hex() == OPENSSL_KEY
    assert bytes(islice(bytes_of_roll(key, 17), 64)).hex() == "".join(OPENSSL_BLOCKS)


def test_faces_are_those_of_the_formula_across_dice_of_different_sides() -> None:
    read = iter(bytes.fromhex("".join(OPENSSL_BLOCKS)))
    expected = []
    for sides in (6, 6, 3, 100, 6, 2, 20, 3, 100, 6):
        byte = next(byte for byte in read if byte < 256 - 256 % sides)
        expected.append(byte % sides + 1)
    stream = Stream(bytes.fromhex(OPENSSL_KEY), 17)
    faces = [*stream(dice(2)), *stream(dice(1, 3)), *stream(dice(1, 100)), *stream(dice(1))]
    faces += [*stream(dice(1, 2)), *stream(dice(1, 20)), *stream(dice(1, 3)), *stream(dice(1, 100))]
    assert faces + stream(dice(1)) == expected


def test_discarding_keeps_the_share_of_bytes_that_the_method_keeps() -> None:
    kept = Fraction(sum(byte < 256 - 256 % 6 for byte in range(256)), 256)
    figure = FIGURES["sp800_90a_simple_discard"]["expected"]
    assert str(kept) == figure["byte_acceptance_252"]["exact"]
    assert str(1 / kept) == figure["byte_expected_draws"]["exact"]


@pytest.mark.parametrize("sides", range(2, 101))
def test_every_face_is_exactly_equally_likely(sides: int) -> None:
    """Over all 256 bytes each face comes equally often, and no byte that could be used is thrown away."""
    limit = 256 - 256 % sides
    counts = Counter(byte % sides + 1 for byte in range(limit))
    assert set(counts.values()) == {256 // sides}
    assert set(counts) == set(range(1, sides + 1))
    assert 256 - limit < sides


def test_without_discarding_some_faces_would_be_favoured() -> None:
    """What the discard is for: the plain remainder gives four faces a 43rd byte."""
    counts = Counter(byte % 6 + 1 for byte in range(256))
    published = FIGURES["modulo_bias_byte"]["expected"]["counts_of_256"]["exact"]
    assert [str(counts[face]) for face in range(1, 7)] == published


def test_a_stream_reads_past_a_byte_that_must_be_discarded() -> None:
    key, roll = next(
        (key, roll)
        for roll in range(1, 500)
        for key in [hashlib.sha256(b"discard").digest()]
        if hmac.digest(key, f"{roll}:0".encode(), "sha256")[0] >= 252
    )
    second = hmac.digest(key, f"{roll}:0".encode(), "sha256")[1]
    assert second < 252
    assert Stream(key, roll).face(6) == second % 6 + 1


@given(st.binary(min_size=32, max_size=32), st.integers(1, 10**6), st.lists(st.integers(2, 100), max_size=80))
def test_a_roll_is_the_same_however_its_dice_are_asked_for(key: bytes, roll: int, sides: list[int]) -> None:
    one_by_one, at_once = Stream(key, roll), Stream(key, roll)
    asked = [at_once(dice(1, side))[0] for side in sides]
    assert asked == [one_by_one.face(side) for side in sides]
    assert all(1 <= face <= side for face, side in zip(asked, sides, strict=True))


def test_any_change_to_page_cuts_or_roll_changes_the_dice() -> None:
    def faces(page: str = "p", cuts: tuple[str, ...] = CUTS, roll: int = 1) -> list[int]:
        return Stream(page_key(SECRET, page, cuts), roll)(dice(30))

    changed = [faces(page="q"), faces(cuts=CUTS[::-1]), faces(cuts=CUTS[:1]), faces(cuts=()), faces(roll=2)]
    assert faces() == faces()
    assert all(other != faces() for other in changed)


@pytest.mark.parametrize(
    "words", ["", "   ", "two\nlines", "a\tb", "\u2028", "x" * 101, "\x1b[31m", "a\u202eb", "\ud83d"]
)
def test_a_cut_that_is_not_one_plain_line_is_refused(words: str) -> None:
    with pytest.raises(Refused, match="cut"):
        checked_cut(words)


@pytest.mark.parametrize(
    "words", ["x", "x" * 100, "the tide is out", "Ébène, 12 €", "潮が引く", "👩‍🚀", "mer\u00a0basse"]
)
def test_a_cut_is_kept_as_it_was_said(words: str) -> None:
    assert checked_cut(f" {words} ") == words


@pytest.mark.parametrize("sides", [-1, 0, 1, 101, 257])
def test_a_die_that_does_not_exist_is_refused(sides: int) -> None:
    with pytest.raises(Refused, match="between 2 and 100"):
        Stream(SECRET, 1).face(sides)
