"""A synthesiser in a process of its own, which can be ended when it hangs: an engine in ours could not.

It starts in the time that the recogniser takes to load; a sentence costs about a millisecond more than in our process.
"""

from __future__ import annotations

import numpy as np

from assistant.voice.engine.process import EngineProcess
from assistant.voice.ports import Samples

PYTTSX3 = "assistant.voice.adapters.pyttsx3:Pyttsx3Synthesiser"
NATURAL = "assistant.voice.adapters.hibari:NaturalSynthesiser"
PATIENCE_S = 5.0
"""How long a sentence may take before the engine counts as hanging [s]; usual are 0.01 to 0.1 s."""
_RUN = "from assistant.voice.speaking.child import answer_parent; answer_parent()"


class ProcessSynthesiser:
    """Renders sentences in another process. One instance serves one thread at a time."""

    def __init__(self, maker: str, voice: str = "", *, patience_s: float = PATIENCE_S) -> None:
        """Start the process; ``maker`` is the class of the synthesiser as "module:name", and gets ``voice``.

        ``patience_s`` is how long a sentence may take [s]. Nothing is waited for: see :meth:`ready`.

        Raises:
            VoiceFault: no process can be started.
        """
        self._patience_s = patience_s
        advice = "choose another voice if it happens again."
        self._engine = EngineProcess(_RUN, maker, voice, called="The speech engine", advice=advice)

    def ready(self) -> ProcessSynthesiser:
        """Wait until the engine is loaded, and return itself.

        Raises:
            VoiceFault: it is not installed, has no such voice, or does not load.
        """
        self._engine.ready()
        return self

    @property
    def voice(self) -> str:
        """The id of the voice that speaks."""
        return str(self._engine.ready()["voice"])

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,).

        Raises:
            VoiceFault: the engine broke, or did not answer in time; its process is ended then.
        """
        asked = {"text": text, "rate": rate, "rate_hz": rate_hz}
        return np.frombuffer(self._engine.ask(asked, patience_s=self._patience_s)[1], dtype=np.int16)

    def close(self) -> None:
        """End the process, at once and whatever it is doing."""
        self._engine.close()
