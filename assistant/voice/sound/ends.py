"""The two ends of the sound card: a microphone that is read block by block, a loudspeaker that asks for its samples."""

from __future__ import annotations

import queue
import time
from collections.abc import Callable

import numpy as np

from assistant.events import End
from assistant.voice.adapters.portaudio import OpenStream, PortAudio
from assistant.voice.adapters.resample import StreamResampler
from assistant.voice.ports import BLOCK, RATE, Block, Samples
from assistant.voice.sound.devices import Device

_QUEUED_MOST = 250
"""How many pieces of 20 ms wait for a slow listener (5 s) before new ones are dropped and counted."""


class CardMicrophone:
    """A microphone. Sound that came while nobody read waits for up to 5 s; what is lost is counted."""

    end = End.MICROPHONE
    rates = (RATE, 48_000, 44_100)

    def __init__(self) -> None:
        self.stream: OpenStream | None = None
        self.present = False
        """Whether the device counts as there: it was opened or came back, and was not lost since."""
        self.name = ""
        """What the device is called that was opened last."""
        self.dropped = 0
        """Pieces of 20 ms that were lost because nobody read in time."""
        self.flagged_before = 0
        """Losses that the device told of on streams that are closed by now."""
        self._queue: queue.SimpleQueue[tuple[bytes, float] | StreamResampler] = queue.SimpleQueue()
        self._resampler = StreamResampler(RATE, RATE)
        self._ready: Samples = np.zeros(0, dtype=np.int16)
        self._ready_until = 0.0
        self._closed = False

    def read(self, timeout: float) -> Block | None:
        """Return the next block, or None when none came within ``timeout`` seconds."""
        until = time.monotonic() + timeout
        while self._ready.size < BLOCK:
            try:
                piece = self._queue.get(timeout=max(0.0, until - time.monotonic()))
            except queue.Empty:
                return None
            if isinstance(piece, StreamResampler):
                self._resampler, self._ready = piece, self._ready[:0]
                continue
            data, self._ready_until = piece
            more = self._resampler.feed(np.frombuffer(data, dtype=np.int16))
            self._ready = np.concatenate([self._ready, more])
        samples, self._ready = self._ready[:BLOCK], self._ready[BLOCK:]
        return Block(samples, self._ready_until - self._ready.size / RATE)

    @property
    def ended(self) -> bool:
        """Whether it was closed."""
        return self._closed

    @property
    def lost_pieces(self) -> int:
        """How often sound was lost: the device said so, or nobody read in time."""
        return self.dropped + self.flagged_before + (self.stream.flagged if self.stream else 0)

    def close(self) -> None:
        """Give no more blocks; the device is freed with its ``SoundCard``."""
        self._closed = True

    def open(self, library: PortAudio, device: Device) -> None:
        """Connect with ``device``."""
        queued = self._queue

        def take(data: bytes, now: float) -> None:
            if queued.qsize() < _QUEUED_MOST:
                queued.put((data, now))
            else:
                self.dropped += 1

        stream = library.open_input(device, self.rates, take)
        queued.put(StreamResampler(stream.rate_hz, RATE))
        stream.start()
        self.stream, self.name = stream, device.name


class CardLoudspeaker:
    """A loudspeaker: the sink of a ``CardSpeaker``."""

    end = End.LOUDSPEAKER
    rates: tuple[int, ...] = (48_000, 44_100, 32_000, RATE)

    def __init__(self) -> None:
        self.stream: OpenStream | None = None
        self.present = False
        """Whether the device counts as there: it was opened or came back, and was not lost since."""
        self.name = ""
        """What the device is called that was opened last."""
        self._pull: Callable[[int], Samples] | None = None
        self._other: OtherRate | None = None
        self._latency_s = 0.0

    @property
    def rate_hz(self) -> int:
        """Samples per second; stays what it was at first."""
        return self.rates[0]

    @property
    def latency_s(self) -> float:
        """Seconds from a sample's being asked for to its being heard."""
        return self._latency_s

    @property
    def alive(self) -> bool:
        """Whether the device is there and plays."""
        return self.present and self.stream is not None and self.stream.alive

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to play what ``pull`` gives; before, there is silence."""
        self._pull = pull

    def close(self) -> None:
        """Play silence from now on; the device is freed with its ``SoundCard``."""
        self._pull = None

    def open(self, library: PortAudio, device: Device) -> None:
        """Connect with ``device``; one that is opened later, and has another rate, gets the same sound at its own."""
        stream = library.open_output(device, self.rates, self._give)
        if self._pull is None:
            self.rates = (stream.rate_hz,)
        elif stream.rate_hz != self.rate_hz:
            self._other = OtherRate(self.rate_hz, stream.rate_hz)
        if stream.rate_hz == self.rate_hz:
            self._other = None
        stream.start()
        self.stream, self.name = stream, device.name
        self._latency_s = stream.latency_s

    def _give(self, count: int) -> Samples:
        if self._pull is None:
            return np.zeros(count, dtype=np.int16)
        return self._pull(count) if self._other is None else self._other.give(count, self._pull)


class OtherRate:
    """Gives as many samples as a device asks for, of sound that has another sampling rate."""

    def __init__(self, from_hz: int, to_hz: int) -> None:
        """Take sound of ``from_hz`` samples per second, and give it at ``to_hz``."""
        self._from_hz, self._to_hz = from_hz, to_hz
        self._resampler = StreamResampler(from_hz, to_hz)
        self._ready: Samples = np.zeros(0, dtype=np.int16)

    def give(self, count: int, pull: Callable[[int], Samples]) -> Samples:
        """Return ``count`` samples, shape (count,), of what ``pull`` gives."""
        while self._ready.size < count:
            wanted = -(-(count - self._ready.size) * self._from_hz // self._to_hz)
            self._ready = np.concatenate([self._ready, self._resampler.feed(pull(wanted))])
        given, self._ready = self._ready[:count], self._ready[count:]
        return given
