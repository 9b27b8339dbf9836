"""A bay without a headset, faster than real time: the microphone hears the loudspeaker, the room, and a person.

What the loudspeaker plays comes back later, rounded off at its peaks, with the echoes of a room that die away
exponentially (a model of rooms after Moorer and others: noise under a decaying envelope; from memory), over noise.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.events import Heard
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcCanceller
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.over_echo import LostBy, OverEcho
from assistant.voice.ports import BLOCK, RATE, Block, Recogniser, Samples
from assistant.voice.sound.played import PlayedSound
from assistant.voice.speaking.mixer import Clip, Mixer

Floats = npt.NDArray[np.float64]
CARD_S = 0.04
"""How long a sample waits in the sound card before it sounds [s]."""


@dataclass(frozen=True, slots=True)
class Path:
    """The way of the own voice to the microphone: times in seconds, levels in dB, ``drive`` is 0 for no distortion.

    ``gain_db`` is how much weaker the voice arrives, ``room_db`` how far the room's echoes lie under the direct sound,
    ``noise_db`` [dBFS, root mean square] the noise of the bay.
    """

    delay_s: float = 0.06
    gain_db: float = -6.0
    dies_s: float = 0.3
    room_db: float = 6.0
    drive: float = 0.0
    noise_db: float = -60.0
    seed: int = 1

    def response(self) -> Floats:
        """Return what one sample of the loudspeaker becomes at the microphone, shape (n,)."""
        random = np.random.default_rng(self.seed)
        t = np.arange(round(self.dies_s * RATE)) / RATE
        room = random.standard_normal(t.size) * 10 ** (-3 * t / self.dies_s)  # 60 dB down at its end
        room *= 10 ** (-self.room_db / 20) / np.sqrt(np.sum(room**2))
        room[0] = 1.0
        return np.concatenate([np.zeros(round(self.delay_s * RATE)), room * 10 ** (self.gain_db / 20)])


class EchoBay:
    """A listener with an echo canceller in a bay: let the assistant ``say``, a person ``speak``, and time ``pass_``."""

    def __init__(
        self,
        path: Path,
        recogniser: Recogniser,
        *,
        tail_s: float = 0.35,
        over: bool = True,
        add_noise: Callable[[int, int], Floats] | None = None,
    ) -> None:
        """Begin silent at 1000 s; with ``over`` False the microphone is closed while the assistant sounds.

        ``add_noise`` gets the number of the first sample and how many, and returns the bay's noise in place of hiss.
        """
        self.now = 1000.0
        self.heard: list[Heard] = []
        self.hushed: list[float] = []
        self.lost: list[LostBy] = []
        self.same_devices = True
        self._random = np.random.default_rng(path.seed)
        self._add_noise = add_noise
        self._mixer = Mixer(RATE, lambda _utterance, _completed: None)
        self._utterance = 0
        self._sounds_until = 0.0
        self._person: Floats = np.zeros(0)
        self._blocks = 0
        self.played = PlayedSound()
        self.take(path)
        self.over = OverEcho(
            WebrtcCanceller(), self.played, (SileroDetector(), SileroDetector()), on_lost=self.lost.append,
            same_devices=lambda: self.same_devices,
        ) if over else None  # fmt: skip
        self.listener = Listener(
            recogniser, self.heard.append, is_sounding=self.is_sounding, tail_s=tail_s, over=self.over, hush=self.hush
        )

    def take(self, path: Path) -> None:
        """Let the sound go another way from now on."""
        self.path = path
        self._response = path.response()
        self._coming = np.zeros(self._response.size + 2 * BLOCK)

    def is_sounding(self) -> bool:
        return self._mixer.busy or self.now < self._sounds_until

    def hush(self) -> None:
        self.hushed.append(self.now)
        self._mixer.cut(self._utterance)

    def say(self, samples: Samples) -> None:
        """Let the assistant say ``samples``, shape (n,), behind what it says."""
        self._utterance += 1
        self._mixer.play(Clip(samples, self._utterance, last=True, gap=RATE // 4))

    def speak(self, samples: Floats, in_s: float = 0.0) -> None:
        """Let a person say ``samples``, shape (n,), as they arrive at the microphone, in so many seconds."""
        first = round(in_s * RATE)
        sound = np.zeros(max(self._person.size, first + samples.size))
        sound[: self._person.size] = self._person
        sound[first : first + samples.size] += samples
        self._person = sound

    def pass_(self, seconds: float, *, stop: Callable[[], bool] = lambda: False) -> None:
        """Let so much time pass, or until ``stop``."""
        for _ in range(round(seconds * RATE / BLOCK)):
            self.now += BLOCK / RATE
            if self._mixer.busy:
                self._sounds_until = self.now + CARD_S + self.path.delay_s
            self._one(self._mixer.pull(BLOCK))
            if stop():
                return

    def _one(self, given: Samples) -> None:
        self.played.given(given, RATE, self.now)
        sound = given / 32_768
        if self.path.drive:
            sound = np.tanh(self.path.drive * sound) / np.tanh(self.path.drive)
        if given.any():
            from scipy.signal import fftconvolve

            back = fftconvolve(sound, self._response)
            self._coming[: back.size] += back
        due, self._coming = self._coming[:BLOCK], np.concatenate([self._coming[BLOCK:], np.zeros(BLOCK)])
        person, self._person = self._person[:BLOCK], self._person[BLOCK:]
        heard = 32_768 * due
        heard[: person.size] += person
        if self._add_noise is None:
            heard += 32_768 * 10 ** (self.path.noise_db / 20) * self._random.standard_normal(BLOCK)
        else:
            heard += self._add_noise(self._blocks * BLOCK, BLOCK)
        self._blocks += 1
        samples = np.clip(np.rint(heard), -32_768, 32_767).astype(np.int16)
        self.listener.push(Block(samples, self.now + CARD_S))
