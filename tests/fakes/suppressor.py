"""A noise suppressor that breaks: the library cannot be asked to."""

from __future__ import annotations

from assistant.voice.ports import Samples, VoiceFault


class BreakingSuppressor:
    """Breaks at every block."""

    def process(self, microphone: Samples) -> Samples:
        """Break.

        Raises:
            VoiceFault: always.
        """
        raise VoiceFault(f"It broke at {microphone.size} samples.")


class MissingSuppressor:
    """Cannot be loaded."""

    def __init__(self) -> None:
        """Break.

        Raises:
            VoiceFault: always.
        """
        raise VoiceFault("It cannot be loaded.")
