"""Sound as a phone sends and takes it: Opus packets, or plain samples. The adapter of PyAV, whose libopus does it."""

from __future__ import annotations

from typing import Any, Protocol

import numpy as np

from assistant.phone.framing import OPUS_HZ, Garbage, Hello, SoundCodec
from assistant.voice.adapters.resample import StreamResampler
from assistant.voice.ports import RATE, Samples

BITS_PER_S = 32_000
"""Of a voice in one channel; from 16 to 32 kbit/s Opus carries all that is in speech up to 20 kHz (RFC 6716, 2.1.1)."""


class SoundReader(Protocol):
    """Makes samples of what a phone sends."""

    def read(self, sound: bytes) -> Samples:
        """Return what is ready, 16 kHz, shape (n,).

        Raises:
            Garbage: that is no sound.
        """


class VoiceWriter(Protocol):
    """Makes of samples what a phone takes."""

    def write(self, samples: Samples) -> list[bytes]:
        """Take 20 ms at the rate of the loudspeaker; return what is ready, in pieces of 20 ms."""


def reader(hello: Hello) -> SoundReader:
    """Return what reads the sound of the phone that greeted so."""
    return _OpusReader() if hello.codec is SoundCodec.OPUS else _PlainReader(hello.rate_hz)


def writer(hello: Hello, rate_hz: int) -> VoiceWriter:
    """Return what writes samples, ``rate_hz`` a second, for the phone that greeted so."""
    return _OpusWriter(rate_hz) if hello.codec is SoundCodec.OPUS else _PlainWriter(rate_hz, hello)


class _PlainReader:
    def __init__(self, rate_hz: int) -> None:
        self._resampler = StreamResampler(rate_hz, RATE)

    def read(self, sound: bytes) -> Samples:
        return self._resampler.feed(np.frombuffer(sound, dtype="<i2"))


class _PlainWriter:
    def __init__(self, rate_hz: int, hello: Hello) -> None:
        self._resampler = StreamResampler(rate_hz, hello.rate_hz)
        self._pieces = _Pieces(hello.samples)

    def write(self, samples: Samples) -> list[bytes]:
        return [piece.astype("<i2").tobytes() for piece in self._pieces.of(self._resampler.feed(samples))]


class _OpusReader:
    def __init__(self) -> None:
        import av  # noqa: PLC0415 - heavy, and of no use before a phone is there

        self._av = av
        context: Any = av.codec.CodecContext.create("libopus", "r")
        context.sample_rate, context.layout = OPUS_HZ, "mono"
        context.open()
        self._context = context
        self._resampler = StreamResampler(OPUS_HZ, RATE)

    def read(self, sound: bytes) -> Samples:
        try:
            frames = self._context.decode(self._av.Packet(sound))
        except self._av.error.FFmpegError as fault:
            raise Garbage("no Opus") from fault
        if not frames:
            return np.zeros(0, dtype=np.int16)
        samples = np.concatenate([_mono(frame.to_ndarray()) for frame in frames])
        return self._resampler.feed(samples)


def _mono(samples: Any) -> Samples:
    """Return the first channel of a frame as 16-bit samples."""
    flat = np.asarray(samples[0])
    if flat.dtype == np.int16:
        return flat
    return np.asarray(np.rint(np.clip(flat, -1.0, 1.0) * 32767), dtype=np.int16)


class _OpusWriter:
    def __init__(self, rate_hz: int) -> None:
        import av  # noqa: PLC0415 - heavy, and of no use before a phone is there

        self._av = av
        context: Any = av.codec.CodecContext.create("libopus", "w")
        context.sample_rate, context.layout, context.format = OPUS_HZ, "mono", "s16"
        context.bit_rate = BITS_PER_S
        context.options = {"application": "voip", "frame_duration": "20"}
        context.open()
        self._context = context
        self._resampler = StreamResampler(rate_hz, OPUS_HZ)
        self._pieces = _Pieces(OPUS_HZ // 50)

    def write(self, samples: Samples) -> list[bytes]:
        packets: list[bytes] = []
        for piece in self._pieces.of(self._resampler.feed(samples)):
            frame = self._av.AudioFrame.from_ndarray(piece.reshape(1, -1), format="s16", layout="mono")
            frame.sample_rate = OPUS_HZ
            packets += [bytes(packet) for packet in self._context.encode(frame)]
        return packets


class _Pieces:
    """Cuts a stream into pieces of one length."""

    def __init__(self, length: int) -> None:
        self._length = length
        self._rest: Samples = np.zeros(0, dtype=np.int16)

    def of(self, samples: Samples) -> list[Samples]:
        """Return the whole pieces that are there with ``samples``."""
        self._rest = np.concatenate([self._rest, samples])
        count = self._rest.size // self._length
        pieces = [self._rest[n * self._length : (n + 1) * self._length] for n in range(count)]
        self._rest = self._rest[count * self._length :]
        return pieces
