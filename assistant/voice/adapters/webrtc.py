"""Takes the own voice, or steady noise, out of the microphone's sound, the extra ``echo``. The one adapter of livekit.

Of that library (Apache-2.0) only the audio processing of WebRTC (BSD-3-Clause) is used, which lies inside its wheel; it
works in this process and opens no connection. Of what goes to the recogniser only the echo is taken out: the model was
made for the sound as it is. Without its noise, the sound is for the voice detector and the net of short words.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from typing import Any

import numpy as np

from assistant.voice.ports import RATE, Samples, VoiceFault

NO_CANCELLER = (
    "Listening while the assistant speaks, and beside loud machines, needs the extra echo "
    "(pip install 'step-assistant[echo]'); without it the microphone stays closed while it speaks, and fewer words are "
    "noticed in noise."
)
_PIECE = RATE // 100
"""The library takes pieces of exactly 10 ms."""


class WebrtcCanceller:
    """Learns the way from the loudspeaker to the microphone and takes out what came that way.

    It finds a delay of up to about half a second by itself, and follows one that changes.
    """

    def __init__(self) -> None:
        """Load the library (0.1 s, 20 MB).

        Raises:
            VoiceFault: the extra is not installed, or its library cannot be loaded.
        """
        self.start()

    def start(self) -> None:
        """Forget what was learnt: another microphone or loudspeaker is another way.

        Raises:
            VoiceFault: the library cannot be loaded.
        """
        self._module, self._framed = _processing(
            "The echo canceller", "the microphone stays closed while the assistant speaks", echo_cancellation=True
        )

    def process(self, microphone: Samples, played: Samples) -> Samples:
        """Return ``microphone``, shape (n,), without the echo of ``played``, shape (n,); n is a multiple of 160.

        Raises:
            VoiceFault: the library broke.
        """
        pieces = []
        try:
            for at in range(0, microphone.size, _PIECE):
                self._module.process_reverse_stream(self._framed(played[at : at + _PIECE]))
                frame = self._framed(microphone[at : at + _PIECE])
                self._module.process_stream(frame)
                pieces.append(np.frombuffer(frame.data, dtype=np.int16))
        except (RuntimeError, ValueError) as fault:
            raise VoiceFault(f"The echo canceller broke ({fault}).") from fault
        return np.concatenate(pieces)


class WebrtcSuppressor:
    """Takes steady noise out of sound; it learns that noise, and follows one that changes, within a second or two."""

    def __init__(self) -> None:
        """Load the library (0.1 s, 20 MB).

        Raises:
            VoiceFault: the extra is not installed, or its library cannot be loaded.
        """
        self._module, self._framed = _processing(
            "What takes noise out of the sound",
            "words are noticed less well beside loud machines",
            noise_suppression=True,
        )
        self._rest: Samples = np.zeros(0, dtype=np.int16)

    def process(self, microphone: Samples) -> Samples:
        """Take the next sound, shape (n,); return as much as there is of it without noise, in pieces of 10 ms.

        Raises:
            VoiceFault: the library broke.
        """
        sound = np.concatenate([self._rest, microphone])
        whole = sound.size // _PIECE * _PIECE
        self._rest = sound[whole:]
        cleaned = [self._rest[:0]]
        try:
            for at in range(0, whole, _PIECE):
                frame = self._framed(sound[at : at + _PIECE])
                self._module.process_stream(frame)
                cleaned.append(np.frombuffer(frame.data, dtype=np.int16))
        except (RuntimeError, ValueError) as fault:
            raise VoiceFault(f"What takes noise out of the sound broke ({fault}).") from fault
        return np.concatenate(cleaned)


def _processing(called: str, until_then: str, **parts: bool) -> tuple[Any, Callable[[Samples], Any]]:
    """Return the library's processing with these ``parts``, and what makes a frame for it of 10 ms, shape (160,).

    ``called`` and ``until_then`` make the sentence where it does not load.

    Raises:
        VoiceFault: the extra is not installed, or its library cannot be loaded.
    """
    if not has_canceller():
        raise VoiceFault(NO_CANCELLER)
    try:
        from livekit.rtc.apm import AudioProcessingModule  # noqa: PLC0415 - it may be missing
        from livekit.rtc.audio_frame import AudioFrame  # noqa: PLC0415

        module = AudioProcessingModule(**parts)
    except (ImportError, OSError, RuntimeError) as fault:
        raise VoiceFault(
            f"{called} cannot be loaded ({fault}): install livekit again; until then {until_then}."
        ) from fault
    return module, lambda piece: AudioFrame(bytearray(piece.tobytes()), RATE, 1, _PIECE)


def has_canceller() -> bool:
    """Return whether the extra is there."""
    return importlib.util.find_spec("livekit") is not None and importlib.util.find_spec("livekit.rtc") is not None
