"""Takes out of the microphone's sound what a linear room makes of the own voice, and nothing of a person. Pure.

The canceller of the port suppresses what it takes for an echo, and half of a person who speaks at the same time with
it. A filter that only subtracts leaves the person whole, and an echo 20 dB weaker. It is a Kalman filter in the
frequency domain, in parts of one block, overlap-save (after Enzner and Vary, "Frequency-domain adaptive Kalman filter
for acoustic echo control in hands-free telephones", Signal Processing 86(6), 2006, from memory): for each bin of each
part it holds the gain and how unsure that is, so that a person who speaks, and whom the error shows, hardly moves it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import BLOCK, Samples

_PARTS = 25
"""Blocks that an echo may last: half a second."""
_STAYS = 0.9998**2
"""How much of what is known of the room stays known from block to block, as power."""
_UNSURE = 1.0
"""The power of the gains that are possible when nothing is known."""
_FOLLOWS = 0.2
"""How far the power of what is no echo follows a new block."""
_QUIETEST = 1e-10
_FULL = 32_768.0


class LinearEcho:
    """The way from the loudspeaker to the microphone as a linear filter. Give it every block of both, in order."""

    def __init__(self) -> None:
        """Begin with a room that nothing is known of."""
        self.start()

    def start(self) -> None:
        """Forget the room."""
        shape = (_PARTS, BLOCK + 1)
        self._gains = np.zeros(shape, dtype=np.complex128)
        self._unsure = np.full(shape, _UNSURE)
        self._spectra = np.zeros(shape, dtype=np.complex128)
        self._other = np.full(BLOCK + 1, 1e-4)
        """Power of what is no echo, by bin."""
        self._before: npt.NDArray[np.float64] = np.zeros(BLOCK)

    def process(self, microphone: Samples, played: Samples) -> tuple[Samples, Samples]:
        """Return ``microphone``, shape (BLOCK,), without the echo of ``played``, shape (BLOCK,), and that echo."""
        now = played / _FULL
        self._spectra = np.roll(self._spectra, 1, axis=0)
        self._spectra[0] = np.fft.rfft(np.concatenate([self._before, now]))
        self._before = now
        echo = np.fft.irfft((self._gains * self._spectra).sum(axis=0))[BLOCK:]
        left = microphone / _FULL - echo
        if self._spectra.any():
            self._learn(left)
        return _sound(left), _sound(echo)

    def _learn(self, left: npt.NDArray[np.float64]) -> None:
        error = np.fft.rfft(np.concatenate([np.zeros(BLOCK), left]))
        self._other += _FOLLOWS * (np.abs(error) ** 2 - self._other)
        power = np.abs(self._spectra) ** 2
        # Half, since half of each spectrum's window is cut away by overlap-save.
        expected = 0.5 * (self._unsure * power).sum(axis=0) + self._other + _QUIETEST
        step = np.fft.irfft(self._unsure * np.conj(self._spectra) / expected * error, axis=1)
        step[:, BLOCK:] = 0.0  # a part reaches one block far
        self._gains += np.fft.rfft(step, axis=1)
        learnt = np.maximum(1 - 0.5 * self._unsure * power / expected, 0.0)
        self._unsure = _STAYS * learnt * self._unsure + (1 - _STAYS) * np.abs(self._gains) ** 2


def _sound(samples: npt.NDArray[np.float64]) -> Samples:
    return np.clip(np.rint(_FULL * samples), -_FULL, _FULL - 1).astype(np.int16)
