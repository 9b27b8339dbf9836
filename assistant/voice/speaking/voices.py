"""The voice that speaks: an engine that is built again when it breaks, and another one when that does not help."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from assistant.events import Then
from assistant.voice.ports import Samples, Synthesiser, VoiceFault
from assistant.voice.speaking.process import ProcessSynthesiser
from assistant.worker import WITHIN_S, Failure, Failures, OnFailure

VOICE_PART = "voice"
MUTE = "There is no voice any more: read the screen, and use the keys."
Maker = Callable[[], Synthesiser]


class Voices:
    """A synthesiser made of several: the first that works speaks. One instance serves one thread at a time."""

    def __init__(
        self,
        first: Synthesiser,
        makers: Sequence[Maker],
        *,
        on_failure: OnFailure,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """Speak with ``first``, which the first of ``makers`` makes again; the others make what takes its place.

        ``on_failure`` is told every failure on the thread that renders; ``clock`` tells seconds that never step.
        """
        self._now: Synthesiser | None = first
        self._makers = makers
        self._at = 0
        self._clock = clock
        self._silent_until = float("-inf")
        self._failures = Failures(VOICE_PART, on_failure, clock=clock)

    def ready(self) -> None:
        """Wait until the first engine is loaded.

        Raises:
            VoiceFault: it is not installed, has no such voice, or does not load.
        """
        if isinstance(self._now, ProcessSynthesiser):
            self._now.ready()

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,).

        A sentence on which the engine broke is tried again, by the engine built anew or by the next one.

        Raises:
            VoiceFault: no engine works; a minute later they are tried again.
        """
        while self._clock() >= self._silent_until:
            try:
                if self._now is None:
                    self._now = self._makers[self._at]()
                return self._now.render(text, rate=rate, rate_hz=rate_hz)
            except Exception as fault:  # noqa: BLE001 - an engine may raise anything, and must not silence the rest
                self._broke(fault)
        raise VoiceFault(MUTE)

    def close(self) -> None:
        """Free the engine."""
        voice, self._now = self._now, None
        if voice is not None:
            voice.close()

    def _broke(self, fault: Exception) -> None:
        self.close()
        others = self._at + 1 < len(self._makers)
        then = self._failures.note(fault, Then.OTHER if others else Then.ENDED)
        if then is Then.OTHER:
            self._at += 1
        elif then is Then.ENDED:
            self._at = 0
            self._silent_until = self._clock() + WITHIN_S


def unheard_of(_failure: Failure) -> None:
    """Take a failure that nobody is there to be told of yet."""
