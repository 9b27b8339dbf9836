"""Puts a recording between short silences and adds noise at a known distance below its own level."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import RATE, Samples

BEFORE_S, AFTER_S = 0.3, 0.5
"""Silence (or noise alone) around a recording [s]."""
_ROOM = 2.0
"""Root mean square [of 32768] of the hiss that stands for a quiet room: no microphone is digitally silent."""
_LOUDEST = 32_000.0
_LEAST_NOISE_S = 0.1


def rms(samples: npt.NDArray[np.float64]) -> float:
    """Return the root mean square of ``samples``, shape (n,)."""
    return math.sqrt(float(np.mean(samples**2))) if samples.size else 0.0


def mixed(clip: Samples, noise: Samples | None, snr_db: float | None, random: np.random.Generator) -> Samples:
    """Return ``clip``, shape (n,), with silence around it and, when there is one, with ``noise`` under all of it.

    The noise lies ``snr_db`` decibels below the clip: both levels are the root mean square over the whole of it. Any
    part of the noise may be taken; a short one is repeated. Where the sum would clip, it is made quieter as a whole.
    """
    speech = clip.astype(np.float64)
    padded = np.concatenate([np.zeros(round(BEFORE_S * RATE)), speech, np.zeros(round(AFTER_S * RATE))])
    if noise is None or snr_db is None:
        padded += random.normal(0.0, _ROOM, padded.size)
    else:
        begin = int(random.integers(max(1, noise.size - padded.size)))
        part = np.resize(noise[begin:], padded.size).astype(np.float64)
        part -= part.mean()
        padded += part * (rms(speech) / max(rms(part), 1e-3) * 10 ** (-snr_db / 20))
    loudest = float(np.abs(padded).max())
    return np.rint(padded * min(1.0, _LOUDEST / max(loudest, 1.0))).astype(np.int16)


def is_noise(samples: Samples) -> bool:
    """Return whether ``samples``, shape (n,), can serve as noise: not silent, and longer than a moment."""
    return samples.size >= _LEAST_NOISE_S * RATE and rms(samples.astype(np.float64)) > _ROOM
