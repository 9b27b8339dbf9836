"""Where a word ends and a reply begins on two recordings, and how their clocks are laid over each other. Pure.

The end of the word is the end of the last 5 ms that lie 10 dB over the floor of the microphone's recording; the floor
is the median level of its first fifth of a second, so a recording must begin with room noise alone. The reply begins
with the first sample that is louder than the loudspeaker's own floor: a null sink adds no noise, so that is anything.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Samples = npt.NDArray[np.int16]
STEP_S = 0.005
OVER_DB = 10.0
FLOOR_S = 0.2
LIKENESS = 12.0
"""A sound is in a recording where the two have so many times more in common than usually there."""
REPLY_FROM = 60
"""A sample over this (of 32767) is part of the reply: -55 dBFS."""


def levels_db(samples: Samples, rate_hz: int) -> npt.NDArray[np.float64]:
    """Return the level [dBFS] of every whole 5 ms of ``samples``, shape (n,)."""
    size = round(STEP_S * rate_hz)
    whole = samples[: samples.size // size * size].astype(float).reshape(-1, size) / 32768
    return np.asarray(10 * np.log10(np.mean(whole**2, axis=1) + 1e-12))


def word_end(samples: Samples, rate_hz: int) -> float | None:
    """Return when the last sound over the floor ends [s from the first sample]; None when there is none."""
    levels = levels_db(samples, rate_hz)
    floor = float(np.median(levels[: round(FLOOR_S / STEP_S)]))
    loud = np.flatnonzero(levels > floor + OVER_DB)
    return (int(loud[-1]) + 1) * STEP_S if loud.size else None


def reply_start(samples: Samples, rate_hz: int) -> float | None:
    """Return when the first sound of the reply begins [s from the first sample]; None when there is none."""
    loud = np.flatnonzero(np.abs(samples.astype(int)) > REPLY_FROM)
    return int(loud[0]) / rate_hz if loud.size else None


def found_at(recording: Samples, rate_hz: int, sound: Samples, sound_hz: int) -> float | None:
    """Return when ``sound``, shape (n,), begins in ``recording``, shape (m,) [s]; None where it is not in there.

    It is there where the two, laid over each other, have far more in common than anywhere else (a matched filter);
    ``rate_hz`` is a multiple of ``sound_hz``.
    """
    step = rate_hz // sound_hz
    whole = recording[: recording.size // step * step].astype(float).reshape(-1, step).mean(axis=1)
    if whole.size < sound.size:
        return None
    size = 1 << (whole.size + sound.size).bit_length()
    both = np.fft.irfft(np.fft.rfft(whole, size) * np.conj(np.fft.rfft(sound.astype(float), size)), size)
    common = np.abs(both[: whole.size - sound.size + 1])
    best = int(common.argmax())
    return best / sound_hz if common[best] > LIKENESS * np.median(common) else None


def zero_time(arrivals: list[tuple[float, int]], rate_hz: int) -> float:
    """Return the clock's time [s] of sample 0 of a stream.

    ``arrivals`` are (clock's time [s], samples received until then). A piece may come late, never early, so the
    earliest of all is the best: the way NTP picks the exchange with the least delay (RFC 5905, clock filter).
    """
    return min(at - count / rate_hz for at, count in arrivals)
