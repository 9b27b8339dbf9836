"""The short tones: rising for accepted, low and falling for not understood, a double beep for the timer.

Three low beeps tell of trouble with the equipment.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from assistant.events import ToneKind
from assistant.voice.ports import Samples

_LEVEL = 0.25
"""Peak as a part of full scale (-12 dB): with speech at its peak the sum still fits."""
_RAMP_S = 0.005
"""Each note swells and fades over 5 ms, so that it does not click."""

_NOTES: dict[ToneKind, tuple[tuple[float, float], ...]] = {
    # (hertz, seconds); 0 hertz is a pause. 400 to 1600 Hz: small loudspeakers give it and hearing loss spares it.
    ToneKind.ACCEPTED: ((880.0, 0.040), (1320.0, 0.050)),
    ToneKind.NOT_UNDERSTOOD: ((523.0, 0.060), (392.0, 0.080)),
    ToneKind.TIMER: ((1568.0, 0.055), (0.0, 0.035), (1568.0, 0.055)),
    ToneKind.TROUBLE: ((440.0, 0.030), (0.0, 0.015), (440.0, 0.030), (0.0, 0.015), (440.0, 0.030)),
}


def tone(kind: ToneKind, rate_hz: int) -> Samples:
    """Return the tone ``kind`` sampled at ``rate_hz``, shape (n,); it lasts 60 to 150 ms."""
    notes = [_note(hertz, seconds, rate_hz) for hertz, seconds in _NOTES[kind]]
    return np.asarray(np.rint(np.concatenate(notes) * _LEVEL * 32767), dtype=np.int16)


def _note(hertz: float, seconds: float, rate_hz: int) -> npt.NDArray[np.float64]:
    length = round(seconds * rate_hz)
    ramp = round(_RAMP_S * rate_hz)
    envelope = np.ones(length)
    envelope[:ramp] = (1 - np.cos(np.pi * np.arange(ramp) / ramp)) / 2
    envelope[-ramp:] = envelope[ramp - 1 :: -1]
    return np.asarray(np.sin(2 * np.pi * hertz * np.arange(length) / rate_hz) * envelope)
