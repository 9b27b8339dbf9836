"""How far an utterance stands over the noise before it. Pure.

Confidence does not tell it: with noise as loud as the voice the engine hears something, and is sure of it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from assistant.voice.listening.endpointing import level_db
from assistant.voice.ports import Block

DROWNED_DB = 0.0
"""Below this [dB] noise is as loud as the voice. Ours; of synthetic voices of ``dev`` in made noise at 10, 5 and 0 dB
with a headset no, a third and three quarters of the utterances lie below (in hammering, which leaves gaps, none)."""
_LOUDER_SHARE = 0.7
"""Blows and pauses are left out of both: what is compared is louder than so much of the time, and no louder."""
_LEAST_BLOCKS = 15
_QUIETEST_DB = -30.0


def is_drowned(said: Sequence[Block], before: Sequence[Block]) -> bool:
    """Return whether the noise in the blocks ``before`` an utterance is as loud as what was ``said``."""
    return over_noise_db(said, before) < DROWNED_DB


def over_noise_db(said: Sequence[Block], before: Sequence[Block]) -> float:
    """Return how far what was ``said`` lies over the noise in the blocks ``before`` it [dB], -30 at least.

    Where too little of that is known (0.3 s), infinity: nothing is held against who speaks at once.
    """
    if len(before) < _LEAST_BLOCKS or not said:
        return math.inf
    both, noise = _power(said), _power(before)
    return max(_QUIETEST_DB, 10.0 * math.log10(max(both - noise, 1e-30) / noise))


def _power(blocks: Sequence[Block]) -> float:
    levels = np.quantile([level_db(block.samples) for block in blocks], _LOUDER_SHARE)
    return float(10.0 ** (levels / 10.0))
