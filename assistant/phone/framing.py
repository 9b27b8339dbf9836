"""What a phone and the bay send each other: one greeting, then sound in pieces of 20 ms, each with its number. Pure.

A piece is four bytes, its number (unsigned, network order), and the sound behind them: an Opus packet (RFC 6716), or
16-bit samples, little-endian, as the greeting says. Numbers count pieces of time, so that one that is missing is seen.
"""

from __future__ import annotations

import json
import re
import struct
from dataclasses import dataclass
from enum import StrEnum

PIECE_S = 0.02
"""How much sound a piece holds [s]."""
PHONE_RATES = (16_000, 44_100, 48_000)
"""Samples per second that a phone may have."""
OPUS_HZ = 48_000
PIECE_BYTES = 4 + 2 * round(PIECE_S * PHONE_RATES[-1])
"""The longest message: a number and 20 ms at 48 kHz. RFC 6716 lets a packet of 20 ms have 1275 bytes."""
MOST_TEXT = 300
_NUMBER = struct.Struct("!I")
_CLIENT = re.compile(r"[0-9a-f]{16,32}", re.ASCII)
_MOST_DELAY_S = 1.0


class SoundCodec(StrEnum):
    """How the sound is written."""

    OPUS = "opus"
    PCM = "pcm"


class Garbage(Exception):
    """A message is none that a phone's page sends."""


@dataclass(frozen=True, slots=True)
class Hello:
    """What a phone says first: who it is for as long as its page is open, and how its sound is written.

    ``again``: the page comes back by itself after a lost connection; nobody pressed anything.
    """

    client: str
    codec: SoundCodec
    rate_hz: int
    again: bool = False

    @property
    def samples(self) -> int:
        """Samples of a piece."""
        return round(PIECE_S * self.rate_hz)


@dataclass(frozen=True, slots=True)
class Status:
    """What a phone says now and then: the newest piece it ``got``, and how long one takes from there to the ear [s]."""

    got: int
    delay_s: float
    ends: bool = False
    """Whether somebody pressed the button that ends it."""


def read_hello(text: str) -> Hello:
    """Return the greeting in ``text``.

    Raises:
        Garbage: it is none.
    """
    said = _object(text)
    client, codec, rate_hz, again = (said.get(name) for name in ("client", "codec", "rate", "again"))
    if not (isinstance(client, str) and _CLIENT.fullmatch(client)) or type(again) is not bool:
        raise Garbage("greeting")
    if (
        type(rate_hz) is not int
        or rate_hz not in PHONE_RATES
        or not isinstance(codec, str)
        or codec not in tuple(SoundCodec)
    ):
        raise Garbage("codec")
    if codec == SoundCodec.OPUS and rate_hz != OPUS_HZ:
        raise Garbage("rate")
    return Hello(client, SoundCodec(codec), rate_hz, again)


def read_status(text: str) -> Status:
    """Return what a phone says about itself in ``text``.

    Raises:
        Garbage: it says nothing of that.
    """
    said = _object(text)
    got, delay_ms, ends = said.get("got"), said.get("delay_ms"), said.get("ends", False)
    if type(got) is not int or type(delay_ms) is not int or type(ends) is not bool or not 0 <= got < 2**32:
        raise Garbage("status")
    return Status(got, min(max(0, delay_ms) / 1000, _MOST_DELAY_S), ends)


def read_sound(data: bytes, hello: Hello) -> tuple[int, bytes]:
    """Return the number and the sound of a piece.

    Raises:
        Garbage: it is no piece of the sound that was greeted with.
    """
    if not _NUMBER.size < len(data) <= PIECE_BYTES:
        raise Garbage("length")
    sound = data[_NUMBER.size :]
    if hello.codec is SoundCodec.PCM and len(sound) != 2 * hello.samples:
        raise Garbage("length")
    return _NUMBER.unpack_from(data)[0], sound


def write_sound(number: int, sound: bytes) -> bytes:
    """Return the message with this piece."""
    return _NUMBER.pack(number % 2**32) + sound


def _object(text: str) -> dict[str, object]:
    if len(text) > MOST_TEXT:
        raise Garbage("length")
    try:
        said = json.loads(text)
    except (ValueError, RecursionError) as fault:
        raise Garbage("no JSON") from fault
    if not isinstance(said, dict):
        raise Garbage("no object")
    return said
