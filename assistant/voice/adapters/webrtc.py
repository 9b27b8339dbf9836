"""Takes the echo of the own voice out of the microphone's sound, the extra ``echo``. The one adapter of livekit.

Of that library (Apache-2.0) only the audio processing of WebRTC (BSD-3-Clause) is used, which lies inside its wheel; it
works in this process and opens no connection. Its other parts (noise suppression, gain, high-pass) stay off: the model
was made for the sound as it is.
"""

from __future__ import annotations

import importlib.util

import numpy as np

from assistant.voice.ports import RATE, Samples, VoiceFault

NO_CANCELLER = (
    "Listening while the assistant speaks needs the extra echo (pip install 'step-assistant[echo]'); "
    "without it the microphone stays closed while it speaks."
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
        if not has_canceller():
            raise VoiceFault(NO_CANCELLER)
        try:
            from livekit.rtc.apm import AudioProcessingModule  # noqa: PLC0415 - it may be missing
            from livekit.rtc.audio_frame import AudioFrame  # noqa: PLC0415

            self._frame = AudioFrame
            self._make = AudioProcessingModule
            self.start()
        except (ImportError, OSError, RuntimeError) as fault:
            raise VoiceFault(
                f"The echo canceller cannot be loaded ({fault}): install livekit again; "
                "until then the microphone stays closed while the assistant speaks."
            ) from fault

    def start(self) -> None:
        """Forget what was learnt: another microphone or loudspeaker is another way."""
        self._module = self._make(echo_cancellation=True)

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

    def _framed(self, piece: Samples):  # type: ignore[no-untyped-def]  # a class of the library
        return self._frame(bytearray(piece.tobytes()), RATE, 1, _PIECE)


def has_canceller() -> bool:
    """Return whether the extra is there."""
    return importlib.util.find_spec("livekit") is not None and importlib.util.find_spec("livekit.rtc") is not None
