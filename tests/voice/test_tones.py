"""The four tones: short, told apart without a look, without a click."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.events import ToneKind
from assistant.voice.ports import Samples
from assistant.voice.speaking.tones import tone

RATES = (16_000, 44_100, 48_000)


def pitch(samples: Samples, rate: int) -> float:
    """Return the strongest frequency [Hz]."""
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(samples.size), n=rate))
    return float(np.argmax(spectrum))


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("kind", ToneKind)
def test_each_lasts_60_to_150_milliseconds(kind: ToneKind, rate: int) -> None:
    assert 0.060 <= tone(kind, rate).size / rate <= 0.150


@pytest.mark.parametrize("rate", RATES)
def test_accepted_rises_by_a_fifth_and_not_understood_falls_by_a_fourth(rate: int) -> None:
    # Intervals of music: a fifth is 3 : 2, a fourth 4 : 3.
    accepted, refused = tone(ToneKind.ACCEPTED, rate), tone(ToneKind.NOT_UNDERSTOOD, rate)
    low, high = pitch(accepted[: accepted.size // 3], rate), pitch(accepted[accepted.size // 2 :], rate)
    assert high / low == pytest.approx(3 / 2, rel=0.05)
    first, then = pitch(refused[: refused.size // 3], rate), pitch(refused[refused.size // 2 :], rate)
    assert first / then == pytest.approx(4 / 3, rel=0.05)
    assert first < low, "the refusal is the lower of the two all the way"


@pytest.mark.parametrize("rate", RATES)
def test_the_timer_is_two_beeps_of_one_pitch(rate: int) -> None:
    samples = tone(ToneKind.TIMER, rate).astype(float)
    window = rate // 200
    level = np.sqrt(np.convolve(samples**2, np.ones(window) / window, "same"))
    starts = np.flatnonzero(np.diff((level > level.max() / 10).astype(int)) == 1)
    assert starts.size == 2 or (level[0] > level.max() / 10 and starts.size == 1)
    third = samples.size // 3
    assert pitch(samples[:third], rate) == pytest.approx(pitch(samples[-third:], rate), abs=30)


@pytest.mark.parametrize("kind", ToneKind)
def test_none_of_them_clicks(kind: ToneKind) -> None:
    # A click is energy far from the note. Above 6 kHz there must be 50 dB less than in all (the notes end at 1.6 kHz).
    rate = 48_000
    padded = np.concatenate([np.zeros(rate // 10), tone(kind, rate), np.zeros(rate // 10)])
    power = np.abs(np.fft.rfft(padded)) ** 2
    high = power[round(6_000 * padded.size / rate) :].sum()
    assert 10 * np.log10(high / power.sum()) < -50


@pytest.mark.parametrize("kind", ToneKind)
def test_each_fits_on_top_of_speech_at_its_loudest(kind: ToneKind) -> None:
    assert np.abs(tone(kind, 48_000)).max() <= 0.3 * 32767
