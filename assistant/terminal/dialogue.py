"""The dialogue on the terminal: a line for everything that was heard, said or happened, as it happens."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, TextIO

from assistant.events import Clarity, Heard, Source, ToneKind
from assistant.facts import Fact, dump
from assistant.language.chosen import LANGUAGE
from assistant.terminal.folding import columns_of, folded
from assistant.visible import in_json

_HELP = LANGUAGE.phrases.phrases("help")[0]
_NO_PHRASE = {Clarity.UNCLEAR: "something unclear", Clarity.SPEECH: "talk that is not for me"}


class Dialogue:
    """Prints lines to ``out``, each with the time since the start (minutes and seconds of the job's clock)."""

    line = 0
    """The line of a typed talk that is being answered; zero before the first."""

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._began_at = 0.0

    def begin(self, now: float) -> None:
        """Count the time from ``now`` on [s since the epoch]."""
        self._began_at = now

    def heard(self, heard: Heard, now: float) -> None:
        """Print what came in and how surely (0 to 1)."""
        how = f"{heard.confidence:.2f}" if heard.source is Source.VOICE else heard.source.value
        if heard.clarity in _NO_PHRASE:
            self._line(now, "heard", _NO_PHRASE[heard.clarity])
        else:
            self._line(now, "heard", f'"{heard.text}" ({how})')

    def slipped(self, heard: Mapping[str, Any], now: float) -> None:
        """Print what was not understood of what was typed; ``heard`` is that of the session's view."""
        text, near = heard["text"], heard["near"]
        if heard["why"] == "not_here":
            self.told(f'"{text}" is not possible here. To see what is, type: {_HELP}', now)
        elif near:
            meant = " or ".join(f'"{one}"' for one in near)
            self.told(f'"{text}" is no phrase that I know. Did you mean {meant}?', now)
        else:
            self.told(f'"{text}" is no phrase that I know. To see what is possible here, type: {_HELP}', now)

    def said(self, text: str, now: float) -> None:
        """Print a sentence that is being spoken."""
        self._line(now, "said", text)

    def tone(self, kind: ToneKind, now: float) -> None:
        """Print a tone."""
        self._line(now, "tone", kind.value.replace("_", " "))

    def told(self, text: str, now: float) -> None:
        """Print what the program itself has to say."""
        self._line(now, "note", text)

    def passed(self, seconds: float, now: float) -> None:
        """Print that a typed talk lets ``seconds`` pass from now on."""
        self._line(now, "time", f"{_length(seconds)} pass")

    def kept(self, facts: Sequence[Fact], now: float) -> None:
        """Take what was put into the journal; a person at a terminal is not shown it."""

    def _line(self, now: float, label: str, text: str) -> None:
        seconds = max(0, round(now - self._began_at))
        head = f"{seconds // 60:3d}:{seconds % 60:02d}  {label:<5}  "
        print(folded(text, columns_of(self._out), head=head), file=self._out, flush=True)


class JsonDialogue(Dialogue):
    """Prints every line as a JSON object (JSON Lines), and what was put into the journal as well.

    Each has ``line`` (of the typed talk), ``at`` (seconds since the start) and one of heard, said, tone, passed (in
    seconds), recorded (with ``data``) and note.
    """

    def heard(self, heard: Heard, now: float) -> None:
        """Print what came in, from where and how clearly."""
        self._object(now, heard=heard.text, source=heard.source.value, clarity=heard.clarity.value)

    def passed(self, seconds: float, now: float) -> None:
        """Print that ``seconds`` pass from now on."""
        self._object(now, passed=seconds)

    def kept(self, facts: Sequence[Fact], now: float) -> None:
        """Print what was put into the journal, an object for each entry."""
        for fact in facts:
            kind, _, fields = dump(fact)
            self._object(now, recorded=kind, data=fields)

    def _line(self, now: float, label: str, text: str) -> None:
        self._object(now, **{label: text})

    def _object(self, now: float, **values: Any) -> None:
        at = round(now - self._began_at, 3)
        told = json.dumps({"line": self.line, "at": at, **values}, ensure_ascii=False)
        print(in_json(told), file=self._out, flush=True)


def _length(seconds: float) -> str:
    """Return a length of time in figures, such as 1 h 20 min."""
    parts = []
    for unit, size in (("h", 3600), ("min", 60)):
        count, seconds = divmod(seconds, size)
        parts += [f"{count:.0f} {unit}"] if count else []
    return " ".join(parts + ([f"{seconds:g} s"] if seconds or not parts else []))
