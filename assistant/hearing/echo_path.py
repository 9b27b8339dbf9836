"""How well the own voice can be taken out of what the microphone hears, on a sentence that was just spoken. Pure.

The same front end as in a job hears the sentence again and again: it learns the way of the sound, then it is judged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from assistant.hearing.booth import Played
from assistant.hearing.mic_sound import Echo
from assistant.voice.listening.endpointing import level_db
from assistant.voice.listening.over_echo import EchoWay, OverEcho
from assistant.voice.ports import Block, EchoCanceller, VoiceDetector
from assistant.voice.sound.played import PlayedSound, lag_of

_BETWEEN_S = 1.0
_TURNS = 3
"""So many times the sentence is heard; by the last time there was enough of it to learn."""


class Mode(StrEnum):
    """How this bay lets the assistant listen."""

    CLOSED = "closed"
    """The microphone is closed while the assistant speaks."""
    OVER = "over"
    """It listens through its own voice."""
    HEADSET = "headset"
    """The microphone does not hear the loudspeaker."""


@dataclass(frozen=True, slots=True)
class EchoTaken:
    """What became of the own voice: ``taken_db`` is how much of it was taken out.

    ``is_known`` tells whether so little was left of it, all the time, that a person can be told from it.
    """

    taken_db: float
    is_known: bool


def cancelled(
    blocks: Sequence[Block],
    played: Sequence[Played],
    delay_s: float,
    latency_s: float,
    canceller: EchoCanceller,
    detectors: tuple[VoiceDetector, VoiceDetector],
) -> EchoTaken:
    """Take what was ``played`` out of ``blocks``, which heard it ``delay_s`` after the program gave it [s].

    ``latency_s`` is how long the device was taken to hold it back [s].

    Raises:
        VoiceFault: the canceller broke.
    """
    sound = PlayedSound(lag_of(delay_s))
    over = OverEcho(canceller, sound, detectors)
    before: list[float] = []
    after: list[float] = []
    was_heard = False
    length = max(blocks[-1].ended_at, played[-1].at) - blocks[0].ended_at + _BETWEEN_S
    for turn in range(_TURNS):
        rest = list(played)
        for block in blocks:
            now = block.ended_at
            while rest and rest[0].at - latency_s <= now:
                piece = rest.pop(0)
                sound.given(piece.samples, piece.rate_hz, piece.at - latency_s + turn * length)
            over.push(Block(block.samples, now + turn * length))
            if turn == _TURNS - 1:
                before.append(level_db(block.samples))
                after.append(over.level)
                was_heard |= over.hears_over
    loud = np.array(before) > over.room + over.knobs.audible_db
    if not loud.any():
        return EchoTaken(0.0, over.way is EchoWay.KNOWN and not was_heard)
    taken = _power(np.array(before)[loud]) - _power(np.array(after)[loud])
    return EchoTaken(taken, over.way is EchoWay.KNOWN and not was_heard)


def _power(levels: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """Return the level of the mean power of ``levels`` [dB]."""
    return 10 * math.log10(float(np.mean(10 ** (levels / 10))))


def mode_of(echo: Echo | None, clean: EchoTaken | None, is_doubtful: bool) -> Mode:
    """Return how this bay lets the assistant listen; ``clean`` is None where there is no canceller.

    Where ``is_doubtful`` whether an echo that was not found is there, it is taken to be there.
    """
    if echo is None:
        return Mode.CLOSED if is_doubtful else Mode.HEADSET
    return Mode.OVER if clean is not None and clean.is_known else Mode.CLOSED
