"""What the search for the beginnings and ends of utterances goes by: its knobs, and the level of a block. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import RATE, Samples

QUIETEST_DB = -96.0
"""What a digitally silent block is taken for [dBFS]."""
_BAND_HZ = (250.0, 6000.0)
"""The band where speech lies; below it are hum, compressors and handling noise."""


@dataclass(frozen=True, slots=True)
class Endpointing:
    """The knobs of the endpointer; levels in dB, times in seconds."""

    voice: float = 0.5
    """Probability of a voice from which speech begins."""
    no_voice: float = 0.35
    """Probability of a voice below which it is silent."""
    fading_voice: float = 0.65
    """In noise, the probability of a voice below which a word fades: whether a whole phrase was heard is asked then."""
    tail_s: float = 0.8
    """What only fades on belongs to the word that ended so for this long at most."""
    onset_db: float = 3.0
    """Speech begins at least this far above the floor."""
    release_db: float = 6.0
    """In a quiet room, speech is over this near to the floor."""
    drop_db: float = 32.0
    """It is also over this far below its own peak: what is left is the room's echo."""
    quiet_db: float = 20.0
    """The room is quiet when speech stands this far above the floor: then the level tells its end."""
    least_db: float = -60.0
    """Nothing below this level is speech at a microphone that was set up [dBFS]."""
    onset_s: float = 0.06
    """There must be a voice for this long before an utterance counts as begun."""
    preroll_s: float = 0.34
    """Sound from before the beginning that goes with the utterance: the detector notices a word some 0.1 s late."""
    short_hang_s: float = 0.12
    """Silence that ends an utterance when the recogniser already has a whole phrase."""
    try_s: float = 0.08
    """Silence after which the recogniser is asked for that: it needs some time, and has the answer when it counts."""
    hang_s: float = 0.44
    """Silence that ends any other utterance."""
    longest_s: float = 10.0
    """No utterance is longer; a longer one is cut here and goes on as the next."""
    apart_s: float = 0.3
    """Silence that parts two utterances; what follows sooner belongs to the same talk."""
    talk_hang_s: float = 0.65
    """Silence that ends any utterance while people talk: what follows sooner belongs to it."""
    talk_apart_s: float = 0.8
    """Silence that parts two utterances then."""
    words_late_s: float = 0.6
    """So long after its beginning a recogniser tells of a word, at the median."""
    words_over_s: float = 0.8
    """So long after its end it tells that a word is over, when nothing else ended it."""
    words_preroll_s: float = 1.3
    """Sound from before that telling that goes with an utterance which begins with it."""
    floor_s: float = 1.6
    """The floor is the lowest level of this time."""
    steady_db: float = 14.0
    """A sound is a steady noise when its level stayed within this range for ``floor_s``; speech ranges over 30 dB."""


def level_db(samples: Samples) -> float:
    """Return the level [dBFS, a full-scale sine is about -3] of a block, shape (n,), in the band of speech."""
    if samples.size == 0:
        return QUIETEST_DB
    window, first, last = _window(samples.size)
    spectrum = np.fft.rfft(samples * window)[first:last]
    # Parseval for a one-sided spectrum; the Hann window (mean square 3/8) is divided out.
    power = 2.0 * float(np.vdot(spectrum, spectrum).real) / (samples.size**2 * 0.375)
    return max(QUIETEST_DB, 10.0 * math.log10(power + 1e-12) - 20.0 * math.log10(32768.0))


@cache
def _window(size: int) -> tuple[npt.NDArray[np.float64], int, int]:
    """Return the Hann window for ``size`` samples and the first and last (exclusive) spectral line of the band."""
    low, high = (round(hz * size / RATE) for hz in _BAND_HZ)
    return np.hanning(size), max(1, low), max(2, high + 1)
