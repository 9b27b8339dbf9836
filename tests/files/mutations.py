"""Small damages of good files, always the same ones: what an editor, a disk, a slip or a bad will does to a file."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator

EACH = 250
"""Mutations of each part of a kind of file; with ``ASSISTANT_FUZZ=full`` in the environment four times as many."""
PARTS = 10
"""Tests that share the mutations of a kind, so that all cores have something to do."""

STRANGE = [
    b"1e9999999", b"-1e-9999999", b"9" * 5000, b"0." + b"3" * 5000, b"0x" + b"f" * 5000, b"[" * 20_000, b"{a: " * 3000,
    b"nan", b"-inf", b".inf", b"\x00", b"\x1b[2J", b"\x1b]0;x\x07", "\u202e".encode(), "\u2028".encode(), b"\xff\xfe",
    b"\xc2", b"\xef\xbb\xbf", b"\r", b"\n", b"\t", b'"', b"'", b'"""', b"\\", b"\\ud800", b"#", b"---\n", b"&a ", b"*a",
    b"!!x ", b"<<: ", b"%YAML 1.9\n", b"=1+1", b"a" * 70_000, b"\t" * 5000, b"1:30", b"999999999999999999999", b"-0",
    b"../../../../etc/passwd", b"/dev/zero", "Ünïcode ² ½ ٣ 五".encode(), b"true", b"null", b"[]", b"{}", b"1-99999",
]  # fmt: skip


def mutations(good: list[bytes], part: int, kind: str) -> Iterator[bytes]:
    """Yield the share ``part`` (from 0) of the mutations of the files ``good``; ``kind`` sets the seed."""
    chance = random.Random(f"{kind} {part}")
    for _ in range(EACH * (4 if os.environ.get("ASSISTANT_FUZZ") == "full" else 1)):
        data = bytearray(chance.choice(good))
        for _ in range(chance.choice((1, 1, 1, 2, 3))):
            chance.choice(_WAYS)(data, chance)
        yield bytes(data)


def _place(data: bytearray, chance: random.Random) -> tuple[int, int]:
    """Return where a piece of the file begins and ends: a few bytes, a word, or a line."""
    at = chance.randrange(len(data) + 1)
    match chance.randrange(3):
        case 0:
            return at, min(len(data), at + chance.randrange(1, 12))
        case 1:
            ends = [data.find(sign, at) for sign in (b" ", b"\n", b",", b"\t", b'"')]
            return at, min((end for end in ends if end >= 0), default=len(data))
    first = data.rfind(b"\n", 0, at) + 1
    last = data.find(b"\n", at)
    return first, len(data) if last < 0 else last


def _flip(data: bytearray, chance: random.Random) -> None:
    if data:
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)


def _drop(data: bytearray, chance: random.Random) -> None:
    first, last = _place(data, chance)
    del data[first:last]


def _double(data: bytearray, chance: random.Random) -> None:
    first, last = _place(data, chance)
    data[first:first] = data[first:last] * chance.choice((1, 1, 2, 50))


def _move(data: bytearray, chance: random.Random) -> None:
    first, last = _place(data, chance)
    piece = bytes(data[first:last])
    del data[first:last]
    at = chance.randrange(len(data) + 1)
    data[at:at] = piece


def _put_in(data: bytearray, chance: random.Random) -> None:
    at = chance.randrange(len(data) + 1)
    data[at:at] = chance.choice(STRANGE)


def _replace(data: bytearray, chance: random.Random) -> None:
    first, last = _place(data, chance)
    data[first:last] = chance.choice(STRANGE)


def _cut(data: bytearray, chance: random.Random) -> None:
    del data[chance.randrange(len(data) + 1) :]


_WAYS = (_flip, _flip, _drop, _double, _move, _put_in, _replace, _replace, _replace, _cut)
