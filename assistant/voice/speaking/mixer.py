"""Mixes speech and tones into the stream that the loudspeaker pulls, and cuts speech short without a click.

``pull`` runs on the audio thread and never waits: the other threads only append to queues and set plain numbers.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import Samples

FADE_S = 0.008
"""What is cut fades out over 8 ms: short enough to be silence at once, long enough not to click."""

Floats = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Clip:
    """A piece of speech: ``samples``, shape (n,), of ``utterance``, after a pause of ``gap`` samples or more."""

    samples: Samples
    utterance: int
    last: bool
    gap: int = 0
    part: int = 0
    """Which sentence of the utterance it is, from zero."""


class Mixer:
    """Speech clips one after another, tones on top of them. Utterances are numbered in rising order."""

    def __init__(
        self,
        rate_hz: int,
        on_done: Callable[[int, bool], None],
        on_part: Callable[[int, int, int], None] = lambda _utterance, _part, _at: None,
    ) -> None:
        """Mix at ``rate_hz``; ``on_done`` gets each utterance that ended and whether it was spoken to its end.

        ``on_part`` gets each clip that was spoken to its end: utterance, part, and where it ended in what is being
        pulled [samples]. Both are called on the audio thread, so they must only put a note into a queue.
        """
        self._on_done = on_done
        self._on_part = on_part
        self._clips: deque[Clip] = deque()
        self._tones: deque[Samples] = deque()
        self._overlays: list[Floats] = []
        self._now: Clip | None = None
        self._at = 0
        self._quiet = rate_hz  # samples since speech last ended
        self._cut_upto = -1
        self._fade = np.linspace(1.0, 0.0, round(FADE_S * rate_hz), dtype=np.float32)
        self._gain = self._wanted_gain = 1.0

    def play(self, clip: Clip) -> None:
        """Queue a clip behind what is queued already."""
        self._clips.append(clip)

    def tone(self, samples: Samples) -> None:
        """Sound ``samples``, shape (n,), at once, over the speech."""
        self._tones.append(samples)

    def cut(self, upto: int) -> None:
        """Silence every utterance numbered up to and with ``upto``, whether it sounds, waits or comes later."""
        self._cut_upto = max(self._cut_upto, upto)

    def is_cut(self, utterance: int) -> bool:
        """Return whether that utterance was cut."""
        return utterance <= self._cut_upto

    def set_volume(self, decibels: float) -> None:
        """Play at ``decibels`` (0 is as rendered, negative is quieter) from the next block on."""
        self._wanted_gain = float(10 ** (decibels / 20))

    @property
    def busy(self) -> bool:
        """Whether there is anything to sound now or later."""
        return bool(self._now or self._clips or self._tones or self._overlays)

    @property
    def speaks(self) -> bool:
        """Whether there are words to sound now or later, whatever tones there are."""
        return bool(self._now or self._clips)

    @property
    def left(self) -> int:
        """How many samples it takes until all is silent. Only for the thread that pulls."""
        tones = [part.size for part in self._tones] + [part.size for part in self._overlays]
        return max(self.words_left, *tones, 0)

    @property
    def words_left(self) -> int:
        """How many samples it takes until the last word is spoken. Only for the thread that pulls."""
        speech = self._now.samples.size - self._at if self._now and not self.is_cut(self._now.utterance) else 0
        quiet = 0 if speech else self._quiet
        for clip in self._clips:
            if not self.is_cut(clip.utterance):
                speech += max(0, clip.gap - quiet) + clip.samples.size
                quiet = 0
        return speech

    def clear(self) -> None:
        """Forget everything at once. Only for when nothing pulls (the device is gone)."""
        self._now = None
        self._clips.clear()
        self._tones.clear()
        self._overlays.clear()

    def pull(self, count: int) -> Samples:
        """Return the next ``count`` samples, shape (count,)."""
        out = np.zeros(count, dtype=np.float32)
        self._drop_cut()
        self._speak_into(out)
        while self._tones:
            self._overlays.append(self._tones.popleft().astype(np.float32))
        self._overlays = [rest for rest in (_lay(overlay, out) for overlay in self._overlays) if rest.size]
        if self._gain != self._wanted_gain:
            out *= np.linspace(self._gain, self._wanted_gain, count, dtype=np.float32)
            self._gain = self._wanted_gain
        else:
            out *= self._gain
        return np.clip(out, -32768, 32767).astype(np.int16)

    def _drop_cut(self) -> None:
        if self._now and self._now.utterance <= self._cut_upto:
            rest = self._now.samples[self._at : self._at + self._fade.size]
            self._overlays.append(rest * self._fade[: rest.size])
            self._on_done(self._now.utterance, False)
            self._now = None
            self._quiet += 1 << 30  # what comes next need not wait
        while self._clips and self._clips[0].utterance <= self._cut_upto:
            self._on_done(self._clips.popleft().utterance, False)

    def _speak_into(self, out: Floats) -> None:
        filled = 0
        while filled < out.size:
            if self._now is None:
                if not self._clips:
                    self._quiet += out.size - filled
                    return
                wait = min(self._clips[0].gap - self._quiet, out.size - filled)
                if wait > 0:
                    self._quiet += wait
                    filled += wait
                    continue
                self._now, self._at = self._clips.popleft(), 0
            part = self._now.samples[self._at : self._at + out.size - filled]
            out[filled : filled + part.size] += part
            filled += part.size
            self._at += part.size
            if self._at >= self._now.samples.size:
                self._on_part(self._now.utterance, self._now.part, filled)
                if self._now.last:
                    self._on_done(self._now.utterance, True)
                self._now, self._quiet = None, 0


def _lay(overlay: Floats, out: Floats) -> Floats:
    """Add as much of ``overlay`` to ``out`` as fits, and return the rest."""
    size = min(overlay.size, out.size)
    out[:size] += overlay[:size]
    return overlay[size:]
