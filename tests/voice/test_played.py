"""What was played is laid beside what was heard: within milliseconds, for long, whatever clocks and buffers do."""

import numpy as np
import pytest

from assistant.voice.ports import BLOCK, RATE
from assistant.voice.sound.played import LAG_S, PlayedSound, lag_of

BLOCK_S = BLOCK / RATE


def sawtooth(first, count, rate_hz):
    """Return samples, shape (count,), whose value tells their time: 20,000 a second, from the first one on."""
    at = (first + np.arange(count)) / rate_hz
    return np.rint((at % 1.0) * 20_000 - 10_000).astype(np.int16)


def shifts(sound, seconds, *, rate_hz=48_000, drift=0.0, jitter_s=0.0, gap_at=np.inf, gap_s=0.0):
    """Play and listen for ``seconds``; return how late what is laid beside each block is [s], shape (blocks,).

    The loudspeaker's clock runs ``drift`` too fast, both ends tell times that are up to ``jitter_s`` late, and at
    ``gap_at`` [s] the loudspeaker gives nothing for ``gap_s``.
    """
    random = np.random.default_rng(1)
    given, late, piece = 0, [], rate_hz // 100
    for number in range(1, round(seconds / BLOCK_S)):
        now = number * BLOCK_S
        while (at := given / (rate_hz * (1 + drift)) + (gap_s if given / rate_hz >= gap_at else 0.0)) <= now:
            sound.given(sawtooth(given, piece, rate_hz), rate_hz, 100 + at + random.uniform(0, jitter_s))
            given += piece
        beside = sound.beside(100 + now + random.uniform(0, jitter_s), BLOCK).astype(float)
        played = (beside[BLOCK // 2] + 10_000) / 20_000  # the fraction of the second in which it was given
        wall = (now - BLOCK_S / 2 - (gap_s if now > gap_at + gap_s else 0.0)) * (1 + drift)
        if not 0.1 < played < 0.9 or not 0.1 < wall % 1.0 < 0.9:
            continue  # a resampler rings where the teeth fall back
        late.append((wall - played + 0.5) % 1.0 - 0.5)
    return np.array(late)


@pytest.mark.parametrize("rate_hz", [16_000, 44_100, 48_000])
def test_what_was_given_a_moment_ago_lies_beside_what_is_heard_now(rate_hz):
    late = shifts(PlayedSound(), 3, rate_hz=rate_hz)[25:]
    assert late == pytest.approx(LAG_S, abs=0.002)


def test_a_voice_that_comes_late_is_held_back_but_not_beyond_it():
    assert lag_of(0.05) == LAG_S
    assert lag_of(0.6) == pytest.approx(0.5)
    late = shifts(PlayedSound(lag_of(0.4)), 3)[50:]
    assert late == pytest.approx(0.3, abs=0.002)


@pytest.mark.parametrize("drift", [-1e-4, 1e-4])
def test_clocks_that_run_apart_are_followed_sample_by_sample(drift):
    # In two minutes they come 12 ms apart; 100 in a million is what a poor crystal is off by (common practice).
    late = shifts(PlayedSound(), 120, drift=drift, jitter_s=0.005)[100:]
    assert np.ptp(late) < 0.011
    settled = late[-1000:]
    assert abs(settled.mean() - LAG_S) < 0.012
    # A sample at a time, but for the few times that what was wanted had not come yet.
    assert np.sum(np.abs(np.diff(late)) * RATE > 2.5) < 10


def test_without_drift_nothing_is_left_out_in_the_end_for_all_the_jitter_of_buffers():
    late = shifts(PlayedSound(), 60, jitter_s=0.01)[100:]
    assert np.ptp(late[-1000:]) * RATE < 2
    assert np.ptp(late) < 0.005  # the first times may have jittered, and are forgotten slowly


def test_a_loudspeaker_that_was_gone_is_followed_anew():
    late = shifts(PlayedSound(), 20, gap_at=8.0, gap_s=1.5)
    assert late[-300:] == pytest.approx(LAG_S, abs=0.008)


def test_before_anything_is_played_there_is_silence():
    assert not PlayedSound().beside(5.0, BLOCK).any()
