"""What a phone says, what of it is sound, when it was heard, and what is missing."""

from __future__ import annotations

import json
import struct

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.phone.arrivals import HOLE_S, TOO_LATE_S, Arrivals
from assistant.phone.codec import reader, writer
from assistant.phone.framing import (
    OPUS_HZ,
    PIECE_BYTES,
    PIECE_S,
    Garbage,
    Hello,
    SoundCodec,
    read_hello,
    read_sound,
    read_status,
    write_sound,
)  # fmt: skip
from assistant.voice.ports import RATE

CLIENT = "0123456789abcdef"
OPUS, PLAIN = Hello(CLIENT, SoundCodec.OPUS, OPUS_HZ), Hello(CLIENT, SoundCodec.PCM, 16_000)


def greeting(**other: object) -> str:
    return json.dumps({"client": CLIENT, "codec": "opus", "rate": 48_000, "again": False} | other)


def test_a_greeting_is_read_and_nothing_else() -> None:
    assert read_hello(greeting()) == OPUS
    assert read_hello(greeting(codec="pcm", rate=44_100, again=True)).samples == 882
    for wrong in (
        greeting(rate=16_000), greeting(codec="pcm", rate=96_000), greeting(codec="mp3"), greeting(codec=["opus"]),
        greeting(client="../../etc"), greeting(client=""), greeting(again=1), greeting(rate=48_000.0),
        "[" * 200, "[]", "", "{", '"opus"', greeting(note="x" * 400),
    ):  # fmt: skip
        with pytest.raises(Garbage):
            read_hello(wrong)


def test_a_status_is_read_and_bounded() -> None:
    said = read_status('{"got": 7, "delay_ms": 90000, "ends": false}')
    assert (said.got, said.delay_s, said.ends) == (7, 1.0, False)
    for wrong in ('{"got": -1, "delay_ms": 0}', '{"got": true, "delay_ms": 0}', '{"got": 1}', "null", "1e999"):
        with pytest.raises(Garbage):
            read_status(wrong)


@given(st.binary(max_size=PIECE_BYTES + 50))
def test_whatever_comes_is_a_piece_or_garbage(data: bytes) -> None:
    for hello in (OPUS, PLAIN):
        try:
            number, sound = read_sound(data, hello)
        except Garbage:
            continue
        assert write_sound(number, sound) == data
        assert hello is OPUS or len(sound) == 640
        try:
            assert reader(hello).read(sound).dtype == np.int16
        except Garbage:
            assert hello is OPUS


def test_numbers_go_on_where_they_are_full() -> None:
    assert write_sound(2**32 + 1, b"x") == struct.pack("!I", 1) + b"x"


@pytest.mark.parametrize("hello", [OPUS, PLAIN, Hello(CLIENT, SoundCodec.PCM, 44_100)])
@pytest.mark.parametrize("rate_hz", [44_100, 48_000])
def test_a_tone_comes_through_as_loud_and_as_high(hello: Hello, rate_hz: int) -> None:
    """Through our writer and our reader; the browser's own coders are at the other end in test_browser."""
    count = rate_hz // 50
    tone = np.rint(8000 * np.sin(2 * np.pi * 440 * np.arange(rate_hz) / rate_hz)).astype(np.int16)
    out, into = writer(hello, rate_hz), reader(hello)
    sent = [piece for n in range(50) for piece in out.write(tone[n * count : (n + 1) * count])]
    assert 46 <= len(sent) <= 50
    assert all(4 + len(piece) <= PIECE_BYTES for piece in sent)
    heard = np.concatenate([into.read(piece) for piece in sent])[RATE // 4 : 3 * RATE // 4].astype(float)
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(heard.size)))
    assert abs(np.argmax(spectrum) * RATE / heard.size - 440) <= 2
    assert 0.8 < np.sqrt((heard**2).mean()) / (8000 / np.sqrt(2)) < 1.25


def test_pieces_in_a_burst_have_the_times_at_which_they_were_heard() -> None:
    arrivals = Arrivals()
    first = arrivals.take(5, 100.0)
    assert first.heard_at == 100.0
    for number in range(6, 30):  # the network stood still, and brings half a second at once
        arrival = arrivals.take(number, 100.5)
        assert arrival.heard_at == pytest.approx(100.0 + (number - 5) * PIECE_S, abs=0.002)
        assert (arrival.holes, arrival.lost) == (0, 0)


def test_what_is_missing_is_counted_and_silence_stands_for_it() -> None:
    arrivals = Arrivals()
    arrivals.take(0, 10.0)
    gap = arrivals.take(4, 10.0 + 4 * PIECE_S)
    assert (gap.holes, gap.lost) == (3, 3)
    long = arrivals.take(1004, 10.0 + 1004 * PIECE_S)
    assert (long.holes, long.lost) == (round(HOLE_S / PIECE_S), 999)
    assert arrivals.take(1004, 31.0).heard_at is None  # twice the same


def test_what_comes_too_late_is_left_out_and_counted_until_it_is_plain_that_the_phone_had_stopped() -> None:
    arrivals = Arrivals()
    arrivals.take(0, 0.0)
    late = [arrivals.take(number, TOO_LATE_S + 0.1 + number * PIECE_S) for number in range(1, 51)]
    assert all(one.heard_at is None and one.lost == 1 for one in late)
    on = [arrivals.take(number, TOO_LATE_S + 0.1 + number * PIECE_S) for number in range(51, 60)]
    heard = [one for one in on if one.heard_at is not None]
    assert len(heard) >= 8
    assert heard[0].holes > 0
    assert heard[-1].heard_at == pytest.approx(TOO_LATE_S + 0.1 + 59 * PIECE_S)


@given(st.lists(st.tuples(st.integers(0, 3), st.floats(0, 0.8)), max_size=60))
def test_no_piece_is_heard_before_the_one_that_it_follows_or_after_it_came(steps: list[tuple[int, float]]) -> None:
    arrivals, number, now, before = Arrivals(), 0, 1000.0, 0.0
    lost = 0
    for skipped, wait in steps:
        number, now = number + 1 + skipped, now + wait
        arrival = arrivals.take(number, now)
        lost += arrival.lost
        if arrival.heard_at is not None:
            assert arrival.heard_at <= now + 1e-6
            assert arrival.heard_at > before - TOO_LATE_S
            before = arrival.heard_at
    assert lost >= 0
