"""The dialogue on the terminal: a line for everything that was heard, said or happened, as it happens."""

from __future__ import annotations

from typing import TextIO

from assistant.events import Clarity, Heard, Source, ToneKind


class Dialogue:
    """Prints lines to ``out``, each with the time since the start (minutes and seconds of the job's clock)."""

    def __init__(self, out: TextIO, started_at: float) -> None:
        self._out = out
        self._started_at = started_at

    def heard(self, heard: Heard, now: float) -> None:
        """Print what came in and how surely (0 to 1)."""
        how = f"{heard.confidence:.2f}" if heard.source is Source.VOICE else heard.source.value
        if heard.clarity in (Clarity.UNCLEAR, Clarity.SPEECH):
            what = {Clarity.UNCLEAR: "something unclear", Clarity.SPEECH: "talk that is not for me"}[heard.clarity]
            self._line(now, "heard", what)
        else:
            self._line(now, "heard", f'"{heard.text}" ({how})')

    def said(self, text: str, now: float) -> None:
        """Print a sentence that is being spoken."""
        self._line(now, "said", text)

    def tone(self, kind: ToneKind, now: float) -> None:
        """Print a tone."""
        self._line(now, "tone", kind.value.replace("_", " "))

    def told(self, text: str, now: float) -> None:
        """Print what the program itself has to say."""
        self._line(now, "note", text)

    def _line(self, now: float, label: str, text: str) -> None:
        seconds = max(0, round(now - self._started_at))
        print(f"{seconds // 60:3d}:{seconds % 60:02d}  {label:<5}  {text}", file=self._out, flush=True)
