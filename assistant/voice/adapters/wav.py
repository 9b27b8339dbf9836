"""A recording is a microphone too, and a file a loudspeaker: what rehearsal, the demo and the tests use.

The one adapter of soundfile (libsndfile): WAV of any common kind, FLAC, Ogg (Vorbis and Opus) and what else it reads.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile

from assistant.files import FileFault, look_at_file
from assistant.voice.adapters.resample import StreamResampler, resample
from assistant.voice.ports import BLOCK, RATE, Block, Samples, VoiceFault

LOWEST_HZ, HIGHEST_HZ = 8_000, 192_000
"""Sampling rates that are taken [Hz]; speech below 8 kHz is not understood."""
LONGEST_S = 24 * 3600
"""Seconds of the longest recording that is read: no talk goes on for more than a day."""
_CHUNK_S = 1.0
_UNKNOWN_SIZE = 0x7FFFFFFF
"""Sizes from here on in a WAV header stand for "not known": the file was written to a pipe."""


class WavMicrophone:
    """A recording, read in blocks as fast as they are asked for.

    The recording is a polite talker: it can be held (``hold``) while the assistant speaks, so that a talk does not
    depend on how long the answers are. Block times are those of the recording plus all holds.
    """

    def __init__(self, path: Path, *, started_at: float = 0.0) -> None:
        """Open ``path``; its first sample was heard at ``started_at`` (seconds since the epoch).

        Raises:
            VoiceFault: there is no such file, it is no recording, it is empty or cut short.
        """
        self._path = path
        self._file = _open(path)
        self._resampler = StreamResampler(self._file.samplerate, RATE)
        self._ready: Samples = np.zeros(0, dtype=np.int16)
        self._drained = False
        self._now = started_at

    def read(self, timeout: float = 0.0) -> Block | None:  # noqa: ARG002
        """Return the next block, or None when the recording is over; never waits for ``timeout``.

        The last block is filled up with silence.
        """
        while self._ready.size < BLOCK and not self._drained:
            self._ready = np.concatenate([self._ready, self._more()])
        if not self._ready.size:
            return None
        samples, self._ready = self._ready[:BLOCK], self._ready[BLOCK:]
        if samples.size < BLOCK:
            samples = np.concatenate([samples, np.zeros(BLOCK - samples.size, dtype=np.int16)])
        self._now += BLOCK / RATE
        return Block(samples, self._now)

    @property
    def now(self) -> float:
        """The time of the last block or of the end of the last hold, seconds since the epoch."""
        return self._now

    @property
    def ended(self) -> bool:
        """Whether the recording is over."""
        return self._drained and not self._ready.size

    @property
    def seconds(self) -> float:
        """Length of the recording [s], without holds."""
        return float(self._file.frames) / float(self._file.samplerate)

    def hold(self, seconds: float) -> None:
        """Let ``seconds`` pass without anything being said."""
        self._now += max(0.0, seconds)

    def close(self) -> None:
        """Close the file; no block comes any more."""
        self._drained = True
        self._ready = self._ready[:0]
        self._file.close()

    def _more(self) -> Samples:
        try:
            frames = _chunk(self._file)
        except (soundfile.SoundFileError, OSError) as error:
            raise VoiceFault(f"The recording {self._path} is damaged: make it again.") from error
        self._drained = frames is None
        samples = np.zeros(0, dtype=np.int16) if frames is None else _as_samples(frames)
        return self._resampler.feed(samples, last=self._drained)


def read_recording(path: Path) -> Samples:
    """Return a whole recording as 16 kHz mono, shape (n,).

    Raises:
        VoiceFault: there is no such file, it is no recording, it is empty or cut short.
    """
    file = _open(path)
    with file:
        try:
            # Piece by piece: a damaged head may promise more than there is, and more than there is memory.
            pieces = []
            while (frames := _chunk(file)) is not None:
                pieces.append(_as_samples(frames))
        except (soundfile.SoundFileError, OSError) as error:
            raise VoiceFault(f"The recording {path} is damaged: make it again.") from error
    return resample(np.concatenate([*pieces, np.zeros(0, dtype=np.int16)]), file.samplerate, RATE)


def _chunk(file: soundfile.SoundFile) -> npt.NDArray[np.float64] | None:
    """Return the next piece of ``file``, shape (n, channels); None at its end."""
    frames: npt.NDArray[np.float64] = file.read(int(_CHUNK_S * file.samplerate), dtype="float64", always_2d=True)
    return frames if len(frames) else None


def _as_samples(frames: npt.NDArray[np.float64]) -> Samples:
    """Mix the channels of ``frames``, shape (n, channels), and return them as 16-bit samples, shape (n,)."""
    # A damaged float file may hold anything; what is no number is silence.
    mono = np.nan_to_num(frames.mean(axis=1) if len(frames) else np.zeros(0), posinf=1.0, neginf=-1.0)
    return np.clip(np.rint(mono * 32768.0), -32768, 32767).astype(np.int16)


_KINDS = {".flac": ("FLAC", "PCM_16"), ".ogg": ("OGG", "VORBIS")}
"""Format and coding by the end of a file's name; anything else becomes a WAV."""


class WavLoudspeaker:
    """Writes what is played to a mono file, each sound at its own time: a 16-bit WAV, or FLAC or Ogg by its name."""

    def __init__(self, path: Path, *, rate_hz: int = RATE, started_at: float = 0.0) -> None:
        """Make ``path``, for its owner alone: names and notes are heard in it.

        Its first sample is at ``started_at`` (seconds since the epoch).

        Raises:
            VoiceFault: the file cannot be written.
        """
        self._path = path
        self._rate = rate_hz
        self._started_at = started_at
        self._written = 0
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            if not path.exists():
                path.touch(mode=0o600)
            kind, coding = _KINDS.get(path.suffix.lower(), ("WAV", "PCM_16"))
            self._file = soundfile.SoundFile(path, "w", rate_hz, 1, subtype=coding, format=kind)
        except (soundfile.SoundFileError, OSError) as error:
            raise VoiceFault(_not_written(path)) from error

    @property
    def ends_at(self) -> float:
        """When the last sound ends, seconds since the epoch."""
        return self._started_at + self._written / self._rate

    def play(self, samples: Samples, at: float | None = None) -> float:
        """Write ``samples``, shape (n,), at the time ``at`` or after the last sound if that is later; return the end.

        Both times are seconds since the epoch. Without ``at`` it follows the last sound directly.

        Raises:
            VoiceFault: the file cannot be written.
        """
        gap = 0 if at is None else round((at - self.ends_at) * self._rate)
        try:
            if gap > 0:
                self._file.write(np.zeros(gap, dtype=np.int16))
                self._written += gap
            for start in range(0, samples.size, self._rate):  # libsndfile codes Vorbis on the stack: a second at a time
                self._file.write(samples[start : start + self._rate].astype(np.int16, copy=False))
        except (soundfile.SoundFileError, OSError) as error:
            raise VoiceFault(_not_written(self._path)) from error
        self._written += samples.size
        return self.ends_at

    def close(self) -> None:
        """Finish the file."""
        try:
            self._file.close()
        except (soundfile.SoundFileError, OSError) as error:
            raise VoiceFault(_not_written(self._path)) from error


def _not_written(path: Path) -> str:
    return f"The speech cannot be written to {path}: choose a file in a folder that exists, is writable and has room."


def _open(path: Path) -> soundfile.SoundFile:
    """Open a recording, or say in one sentence why that cannot be."""
    found = look_at_file(path, 12, "a WAV, FLAC or Ogg recording")
    if isinstance(found, FileFault):
        raise VoiceFault(f"There is no recording {path}: check the name." if found.missing else f"{found.sentence}.")
    head, size = found
    if not size:
        raise VoiceFault(f"The recording {path} is empty: make it again.")
    if head[:4] == b"RIFF" and len(head) == 12:
        promised = struct.unpack("<I", head[4:8])[0]
        # Programs differ by a padding byte; what counts is sound that is missing.
        if promised < _UNKNOWN_SIZE and promised + 8 > size + 1:
            raise VoiceFault(
                f"The recording {path} is cut short ({size} of {promised + 8} bytes): copy it or make it again."
            )
    try:
        file = soundfile.SoundFile(path)
    except (soundfile.SoundFileError, OSError) as error:
        raise VoiceFault(f"{path} is not a recording that can be read: use a WAV, FLAC or Ogg file.") from error
    if not LOWEST_HZ <= file.samplerate <= HIGHEST_HZ:
        file.close()
        raise VoiceFault(
            f"The recording {path} has {file.samplerate} samples per second: record it with 8,000 to 192,000."
        )
    if file.frames > LONGEST_S * file.samplerate:
        file.close()
        raise VoiceFault(f"The recording {path} is longer than a day, or its head is damaged: name the right one.")
    if not file.frames:
        file.close()
        raise VoiceFault(f"The recording {path} holds no sound: make it again.")
    return file
