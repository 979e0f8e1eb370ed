r"""Verify a page of dice: python verify.py FILE. It needs Python alone; read it before you trust it.

What a page promises. Before anyone rolled, the umpire drew a secret of 32 bytes and showed its SHA-256, the
commitment. Players could add a line each, the cuts. From secret, page id and cuts every face follows:

    key          = HMAC-SHA-256(secret, "drumhead page 1\n" + page id + "\n" + cuts joined by "\n")
    block i of roll n = HMAC-SHA-256(key, "n:i")          n and i in decimal, i = 0, 1, 2, ...

The bytes of blocks 0, 1, 2, ... are read in order. For a die of s faces a byte at or above 256 - 256 mod s is
passed over (so that every face is equally likely); any other byte gives the face byte mod s + 1. All dice of
a roll read on in the same bytes. Dice that players threw themselves are marked as declared: nothing about
them can be verified. All text is UTF-8.

What a page cannot promise: whoever runs the umpire knows the secret and could look ahead. And this program
reads the cuts and the commitment from the file: compare both with what was shown before the first roll.

Exit status: 0 verified, 1 something differs, 2 the file cannot be read, or its page is not yet revealed.
"""

import hashlib
import hmac
import json
import sys
from pathlib import Path
from typing import Any

VERIFIED, DIFFERS, UNREADABLE = 0, 1, 2


class Differs(Exception):
    """The page is not what it promises to be."""


class Unreadable(Exception):
    """The file is no page, or one that cannot be verified yet."""


def hmac_sha256(key: bytes, text: str) -> bytes:
    return hmac.new(key, text.encode("utf-8"), hashlib.sha256).digest()


def faces_of_roll(key: bytes, roll: int, sides: list[int]) -> list[int]:
    """What the dice of one roll must show."""
    faces: list[int] = []
    block = 0
    while len(faces) < len(sides):
        for byte in hmac_sha256(key, f"{roll}:{block}"):
            if len(faces) == len(sides):
                break
            die = sides[len(faces)]
            if byte < 256 - 256 % die:
                faces.append(byte % die + 1)
        block += 1
    return faces


def verify(page: Any) -> str:
    """What was verified, in a sentence; or Differs, or Unreadable."""
    check_form(page)
    if page["secret"] is None:
        raise Unreadable("This page is not yet revealed: its secret comes with `reveal`, which closes it.")
    secret = bytes.fromhex(page["secret"])
    if hashlib.sha256(secret).hexdigest() != page["commitment"].lower():
        raise Differs("The secret is not the one that was committed to: its SHA-256 is not the commitment.")
    key = hmac_sha256(secret, "drumhead page 1\n" + page["page"] + "\n" + "\n".join(page["cuts"]))
    for position, roll in enumerate(page["rolls"]):
        check_number(page["rolls"], position)
        if roll["declared"]:
            check_declared(roll)
        else:
            check_faces(key, roll)
    return said(page)


def said(page: dict[str, Any]) -> str:
    """What was verified, and what a reader should still look at."""
    rolls = page["rolls"]
    span = f"#{rolls[0]['id']} to #{rolls[-1]['id']}" if rolls else "nothing on it"
    dice = sum(len(roll["faces"]) for roll in rolls if not roll["declared"])
    declared = [f"#{roll['id']}" for roll in rolls if roll["declared"]]
    return (
        f"Verified. Page {page['page']!a}, {span}: {dice} dice, all as sealed.\n"
        f"Declared by players, so beyond any check: {', '.join(declared) or 'none'}.\n"
        f"Cuts: {', '.join(map(ascii, page['cuts'])) or 'none'}. Commitment: {page['commitment']}."
    )


def check_number(rolls: list[Any], position: int) -> None:
    """Numbers go up by one: nothing was left out, put in or moved."""
    due, found = rolls[0]["id"] + position, rolls[position]["id"]
    if found != due:
        raise Differs(f"Roll #{found} stands where #{due} should: rolls are missing, added or out of order.")


def check_faces(key: bytes, roll: dict[str, Any]) -> None:
    """Every face is the one that the seal gives."""
    sides, faces = roll["sides"], roll["faces"]
    if len(sides) != len(faces):
        raise Differs(f"Roll #{roll['id']} differs: it has {len(sides)} dice and {len(faces)} faces.")
    due = faces_of_roll(key, roll["id"], sides)
    for number in range(len(faces)):
        if faces[number] != due[number]:
            raise Differs(
                f"Roll #{roll['id']} differs: die {number + 1} of {len(faces)}, with {sides[number]} faces, "
                f"shows {faces[number]}, but the seal gives {due[number]}."
            )


def check_declared(roll: dict[str, Any]) -> None:
    """Declared faces are at least possible."""
    sides, faces = roll["sides"], roll["faces"]
    if len(sides) != len(faces) or not all(1 <= f <= s for f, s in zip(faces, sides, strict=True)):
        raise Differs(f"Roll #{roll['id']} differs: these declared faces cannot be thrown with these dice.")


def check_form(page: Any) -> None:
    """The file has the parts of a page."""
    if not isinstance(page, dict) or page.get("format") != "drumhead page 1":
        raise Unreadable('This is not a page: it does not begin with "format": "drumhead page 1".')
    need(is_line(page.get("page")), "the page id is one line")
    need(is_hex(page.get("commitment")), "the commitment is 64 hexadecimal digits")
    need("secret" in page and (page["secret"] is None or is_hex(page["secret"])), "so is the secret, or null")
    need(isinstance(page.get("cuts"), list), "the cuts are a list")
    if not all(is_line(cut) for cut in page["cuts"]):
        raise Differs("The cuts differ: each is one line of 1 to 100 characters, and one of these is not.")
    need(isinstance(page.get("rolls"), list), "the rolls are a list")
    for roll in page["rolls"]:
        check_roll_form(roll)


def check_roll_form(roll: Any) -> None:
    need(isinstance(roll, dict) and whole(roll.get("id")), "every roll has a number")
    here = f"roll #{roll['id']}"
    need(isinstance(roll.get("declared"), bool), f"{here} says whether its dice are declared")
    need(all_whole(roll.get("sides")), f"{here} lists how many faces its dice have")
    need(all_whole(roll.get("faces")), f"{here} lists its faces")
    need(all(2 <= die <= 100 for die in roll["sides"]), f"the dice of {here} have 2 to 100 faces")


def need(holds: bool, what: str) -> None:
    if not holds:
        raise Unreadable(f"This page cannot be read. What does not hold in it: {what}.")


def is_hex(value: Any) -> bool:
    return isinstance(value, str) and len(value) == 64 and set(value) <= set("0123456789abcdefABCDEF")


def is_line(value: Any) -> bool:
    return isinstance(value, str) and 1 <= len(value) <= 100 and len(value.splitlines()) == 1


def whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def all_whole(values: Any) -> bool:
    return isinstance(values, list) and all(whole(value) for value in values)


def main(arguments: list[str]) -> int:
    """Verify one file, say so, and return the exit status."""
    if len(arguments) != 1:
        print("Usage: verify FILE (a page written by `drumhead export`)", file=sys.stderr)
        return UNREADABLE
    try:
        print(verify(json.loads(Path(arguments[0]).read_bytes())))
    except Differs as differs:
        print(f"NOT verified. {differs}")
        return DIFFERS
    except Unreadable as unreadable:
        print(unreadable, file=sys.stderr)
        return UNREADABLE
    except (OSError, ValueError, RecursionError) as error:
        print(f"{arguments[0]} cannot be read: {error}", file=sys.stderr)
        return UNREADABLE
    return VERIFIED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
