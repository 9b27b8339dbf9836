"""Tells voices beside machines too: the detector forgets the noise, and hears what is left of the sound without it.

The detector remembers what it heard, and minutes of noise make it deaf: beside an engine as loud as the voice it
noticed 2 of 30 words, one every 4 s. When what it remembers is forgotten every 2 s in which nobody spoke, it noticed
17, and of the sound without its steady noise 29; no more of what was no voice (docs/measurements.md, "Words noticed in
noise"). The recogniser gets the sound as it is: it was trained on that.
"""

from __future__ import annotations

from collections import deque

import numpy as np

from assistant.events import Then
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcSuppressor, has_canceller
from assistant.voice.ports import BLOCK, RATE, Samples, VoiceFault
from assistant.worker import Failures

FORGETS_S = 2.0
"""So long nobody may have spoken [s] for what was heard until then to be forgotten."""
NOBODY = 0.1
"""Probability of a voice below which nobody speaks."""
LIKELIER_WITHOUT_NOISE = 0.15
"""So much likelier must a voice be in the sound without noise, of which something stays that is a little like one: a
word is known to be over sooner with it, and as many are right."""
_KEPT_S = 4.0
"""So much of the sound without noise is at hand [s]."""


class VoiceInNoise:
    """Hears a voice in the sound as it is, or in what is left of it without the noise. One instance serves one thread.

    Without the extra ``echo`` the sound is heard as it is alone. What takes the noise out may break: it is made anew
    then, and done without once it broke too often.
    """

    def __init__(self, failures: Failures) -> None:
        """Load the models; each failure to take out the noise is told to ``failures``.

        Raises:
            VoiceFault: the voice detector cannot be loaded.
        """
        self._failures = failures
        self._plain, self._cleaned = Forgetting(), Forgetting()
        self._suppressor: WebrtcSuppressor | None = None
        self._without: deque[Samples] = deque(maxlen=round(_KEPT_S * RATE / BLOCK))
        if has_canceller():
            self._load()

    def start(self) -> None:
        """Begin anew: what comes next does not follow on what was fed before; the noise is the same still."""
        self._plain.start()
        self._cleaned.start()

    def feed(self, block: Samples) -> float:
        """Take the next block, shape (n,), of all that is heard; return how likely a voice sounds now (0 to 1)."""
        likely = self._plain.feed(block)
        if self._suppressor is None:
            return likely
        try:
            without = self._suppressor.process(block)
            self._without.append(without)
            return max(likely, self._cleaned.feed(without) - LIKELIER_WITHOUT_NOISE)
        except VoiceFault as fault:
            self._suppressor = None
            self._cleaned.start()
            self._without.clear()
            if self._failures.note(fault) is not Then.ENDED:
                self._load()
            return likely

    def without_noise(self, size: int) -> Samples | None:
        """Return the last ``size`` samples of all that was fed without their noise; None where there are fewer."""
        known = np.concatenate(self._without) if self._without else np.zeros(0, dtype=np.int16)
        return known[known.size - size :] if known.size >= size else None

    def _load(self) -> None:
        try:
            self._suppressor = WebrtcSuppressor()
        except VoiceFault as fault:
            self._failures.note(fault)


class Forgetting:
    """The detector, which forgets what it heard whenever nobody spoke for a while."""

    def __init__(self) -> None:
        """Load the model.

        Raises:
            VoiceFault: it cannot be loaded.
        """
        self._detector = SileroDetector()
        self._nobody_for = 0

    def start(self) -> None:
        """Begin anew: what comes next does not follow on what was fed before."""
        self._detector.start()
        self._nobody_for = 0

    def feed(self, block: Samples) -> float:
        """Take the next block, shape (n,), of all that is heard; return how likely a voice sounds now (0 to 1)."""
        likely = self._detector.feed(block)
        self._nobody_for = self._nobody_for + block.size if likely < NOBODY else 0
        if self._nobody_for >= FORGETS_S * RATE:
            self.start()
        return likely
