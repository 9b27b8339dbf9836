"""Makes a rendered sentence ready to play: silence cut off, level evened, the sampling rate that the device wants."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from assistant.voice.adapters.resample import resample
from assistant.voice.ports import Samples

PEAK = 0.7
"""The level that the loudest sample is brought to, as a part of full scale (-3 dB): tones still fit on top."""
_GAIN_MOST = 2.0
"""The most that a sentence is raised (6 dB): a quiet one must not be blown up into noise."""
_QUIET = 0.004
"""What counts as silence, as a part of the loudest sample (-48 dB): below the softest "f" or "th"."""
_LEAD_S = 0.005
_TRAIL_S = 0.030


def polish(samples: Samples, from_hz: int, to_hz: int) -> Samples:
    """Return ``samples``, shape (n,), sampled at ``from_hz``, trimmed, evened and sampled at ``to_hz``."""
    return level(resample(trim(samples, from_hz), from_hz, to_hz))


def trim(samples: Samples, rate_hz: int) -> Samples:
    """Return ``samples``, shape (n,), without the silence before and after: a first sound that comes late is a wait."""
    loudness = np.abs(samples.astype(np.int32))
    loudest = int(loudness.max(initial=0))
    if loudest == 0:
        return samples[:0]
    sounding = np.flatnonzero(loudness > loudest * _QUIET)
    first = max(0, int(sounding[0]) - round(_LEAD_S * rate_hz))
    return samples[first : int(sounding[-1]) + 1 + round(_TRAIL_S * rate_hz)]


def level(samples: Samples) -> Samples:
    """Return ``samples``, shape (n,), with their loudest sample at ``PEAK``, raised by no more than 6 dB."""
    loudest = int(np.abs(samples.astype(np.int32)).max(initial=0))
    if loudest == 0:
        return samples
    gain = min(_GAIN_MOST, PEAK * 32767 / loudest)
    return np.asarray(np.rint(samples * gain), dtype=np.int16)


def join(parts: Sequence[Samples], gap: int) -> Samples:
    """Return ``parts``, each of shape (n,), one after another with ``gap`` samples of silence between them."""
    pieces: list[Samples] = []
    for part in parts:
        pieces += [np.zeros(gap, dtype=np.int16), part] if pieces else [part]
    return np.concatenate(pieces) if pieces else np.zeros(0, dtype=np.int16)
