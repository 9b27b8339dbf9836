"""Changing the sampling rate keeps pitch and length, and lets nothing fold down; pieces give the same as the whole."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.voice.adapters.resample import StreamResampler, resample
from assistant.voice.ports import Samples


def sine(hertz: float, rate: int, seconds: float = 1.0) -> Samples:
    return np.rint(10_000 * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(np.int16)


@pytest.mark.parametrize("from_hz", [8_000, 16_000, 22_050, 24_000, 44_100, 48_000])
def test_a_tone_is_the_same_tone_at_16_khz(from_hz: int) -> None:
    # The reference is the sine itself, computed at the new rate.
    ours, reference = resample(sine(1000, from_hz), from_hz, 16_000), sine(1000, 16_000)
    assert ours.size == reference.size
    inner = slice(400, -400)  # the filter needs the sound on both sides
    assert np.abs(ours[inner].astype(int) - reference[inner]).max() <= 3


@pytest.mark.parametrize("hertz", [9_000, 12_000, 20_000])
def test_what_lies_above_half_the_new_rate_is_gone(hertz: int) -> None:
    inner = resample(sine(hertz, 48_000), 48_000, 16_000)[800:-800].astype(float)
    assert 20 * np.log10(max(np.sqrt(np.mean(inner**2)), 1e-9) / (10_000 / np.sqrt(2))) < -60


@pytest.mark.parametrize("from_hz", [16_000, 44_100, 48_000])
@pytest.mark.parametrize("piece", [101, 882, 960])
def test_pieces_give_the_same_as_the_whole(from_hz: int, piece: int) -> None:
    whole = sine(440, from_hz)
    stream = StreamResampler(from_hz, 16_000)
    pieces = [stream.feed(whole[at : at + piece]) for at in range(0, whole.size, piece)]
    joined = np.concatenate([*pieces, stream.feed(whole[:0], last=True)])
    reference = resample(whole, from_hz, 16_000)
    assert joined.size == reference.size
    assert np.abs(joined.astype(int) - reference).max() <= 2


@pytest.mark.parametrize("from_hz", [44_100, 48_000])
def test_a_stream_holds_back_less_than_a_twentieth_of_a_second(from_hz: int) -> None:
    stream = StreamResampler(from_hz, 16_000)
    piece = np.zeros(from_hz // 50, dtype=np.int16)
    behind = []
    given = 0
    for count in range(1, 51):
        given += stream.feed(piece).size
        behind.append(count * 0.02 - given / 16_000)
    assert max(behind) < 0.05
