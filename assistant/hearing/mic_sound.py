"""What can be told from the sound of a microphone: level, hum, clipping, and the echo of the own voice. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.hearing.booth import Played
from assistant.voice.listening.endpointing import QUIETEST_DB, level_db
from assistant.voice.ports import BLOCK, RATE, Block, Samples

_Floats = npt.NDArray[np.float64]
DEAD_DB = -85.0
"""Below this a microphone gives no signal: even a quiet room and its own amplifier are louder [dBFS]."""
_FULL = 32_000
"""From here on a sample is at the end of what 16 bits hold."""
_HUM_WIDTH_HZ = 4.0
_HUM_UP_TO_HZ = 1_000.0
_STEP_S = 0.01
_LAGS_S = (-0.1, 0.8)
_ECHO_LIKE = 0.5
"""Correlation from which the microphone's level follows the loudspeaker's."""
_OVER_DB = 6.0
_OFTEN = 0.25
"""A quarter of the blocks: of noise that goes on as it was, no larger part can lie 6 dB, four times the power, over its
mean (Markov's inequality)."""


def noise_db(samples: Samples) -> float:
    """Return the mean level of ``samples``, shape (n,), in the band of speech [dBFS]."""
    levels = _levels(samples)
    return 10 * math.log10(float(np.mean(10 ** (levels / 10)))) if levels.size else QUIETEST_DB


def speech_db(samples: Samples, noise: float) -> float:
    """Return the mean level [dBFS] of what stands out of ``noise`` [dBFS] in ``samples``, shape (n,)."""
    levels = _levels(samples)
    loud = levels[levels > noise + _OVER_DB]
    return 10 * math.log10(float(np.mean(10 ** (loud / 10)))) if loud.size else QUIETEST_DB


def _levels(samples: Samples) -> _Floats:
    return np.array([level_db(samples[at : at + BLOCK]) for at in range(0, samples.size - BLOCK + 1, BLOCK)])


def is_dead(samples: Samples) -> bool:
    """Return whether there is no signal in ``samples``, shape (n,): nothing, one value only, or next to nothing."""
    if samples.size == 0:
        return True
    swing = samples.astype(np.float64) - float(np.mean(samples))
    power = float(np.mean(swing**2)) / 32_768**2
    return power < 10 ** (DEAD_DB / 10)


def hum_share(samples: Samples) -> float:
    """Return which share (0 to 1) of the power of ``samples``, shape (n,), is mains hum: 50 or 60 Hz and harmonics."""
    if samples.size < RATE // 2:
        return 0.0
    sound = samples.astype(np.float64) - float(np.mean(samples))
    power = np.abs(np.fft.rfft(sound * np.hanning(sound.size))) ** 2
    hertz = np.fft.rfftfreq(sound.size, 1 / RATE)
    shares = []
    for mains in (50.0, 60.0):
        nearest = np.abs(hertz - mains * np.maximum(1, np.rint(hertz / mains)))
        shares.append(float(power[(nearest <= _HUM_WIDTH_HZ) & (hertz <= _HUM_UP_TO_HZ)].sum()))
    return max(shares) / max(float(power.sum()), 1e-9)


def clipped_share(samples: Samples) -> float:
    """Return which share of ``samples``, shape (n,), lies in runs at the end of the scale."""
    full = np.abs(samples.astype(np.int32)) >= _FULL
    run = full[:-1] & full[1:]
    return float(np.mean(run)) if run.size else 0.0


@dataclass(frozen=True, slots=True)
class Echo:
    """How the microphone hears the loudspeaker.

    ``level_db`` [dBFS] is that of the own voice at the microphone; ``delay_s`` how much later it arrives than the
    computer takes it to sound; ``tail_s`` how long it is still heard after the computer took itself to be silent.
    """

    level_db: float
    delay_s: float
    tail_s: float


def find_echo(blocks: Sequence[Block], played: Sequence[Played], silent_at: float, noise: float) -> Echo | None:
    """Find the own voice in what the microphone gave; None when it cannot be heard there.

    The powers of both sounds, in steps of 10 ms, are laid over each other at every delay from -0.1 to 0.8 s; the best
    correlation is the delay. ``silent_at`` is when the voice was taken to end [s], ``noise`` the room's level [dBFS].
    """
    if not blocks or not played:
        return None
    start = min(played[0].at, blocks[0].ended_at) - 1.0
    steps = round((max(blocks[-1].ended_at, played[-1].at) + 1.0 - start) / _STEP_S)
    voice, heard = np.zeros(steps), np.zeros(steps)
    for piece in played:
        _spread(voice, piece.samples, piece.rate_hz, piece.at - start)
    for block in blocks:
        _spread(heard, block.samples, RATE, block.ended_at - block.samples.size / RATE - start)
    lags = range(round(_LAGS_S[0] / _STEP_S), round(_LAGS_S[1] / _STEP_S) + 1)
    fits = [_correlation(np.roll(voice, lag), heard) for lag in lags]
    best = int(np.argmax(fits))
    if fits[best] < _ECHO_LIKE:
        return None
    sounding = np.roll(voice, lags[best]) > 0.05 * voice.max()
    level = 10 * math.log10(float(np.mean(heard[sounding])) / 32_768**2 + 1e-12)
    after = [b.ended_at - silent_at for b in blocks if level_db(b.samples) > noise + _OVER_DB]
    return Echo(level, lags[best] * _STEP_S, max(0.0, after[-1]) if after else 0.0)


def stands_out(blocks: Sequence[Block], noise: float) -> bool:
    """Return whether ``blocks`` hold more than the ``noise`` of the room [dBFS]: a voice, or other machines."""
    loud = sum(level_db(block.samples) > noise + _OVER_DB for block in blocks)
    return loud > _OFTEN * len(blocks)


def _spread(grid: _Floats, samples: Samples, rate_hz: int, at: float) -> None:
    """Add the mean power of each 10 ms of ``samples``, which begin ``at`` [s], to the steps of ``grid``."""
    size = max(1, round(_STEP_S * rate_hz))
    for first in range(0, samples.size, size):
        step = int((at + first / rate_hz) / _STEP_S)
        if 0 <= step < grid.size:
            grid[step] = max(grid[step], float(np.mean(samples[first : first + size].astype(np.float64) ** 2)))


def _correlation(one: _Floats, other: _Floats) -> float:
    """Return the correlation of two rows of powers, after the root that keeps single peaks from deciding."""
    a, b = np.sqrt(one) - np.sqrt(one).mean(), np.sqrt(other) - np.sqrt(other).mean()
    scale = math.sqrt(float(a @ a) * float(b @ b))
    return float(a @ b) / scale if scale else 0.0
