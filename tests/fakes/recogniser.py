"""A recogniser that hears what it is told: for tests about when something is heard, not about what."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.events import Clarity, Grammar, Heard, Thresholds
from assistant.voice.ports import SILENCE, Opinion, Samples


class TellRecogniser:
    """Answers every utterance with ``text``, which it takes for a whole phrase at once; keeps what was done to it."""

    limits = Thresholds(0.3, 0.5, 0.6)

    def __init__(self, text: str = "next", *, clarity: Clarity = Clarity.PHRASE, settles: bool = True) -> None:
        """Answer ``text`` with ``clarity``; ``settles`` is what ``settled`` returns."""
        self.text = text
        self.clarity = clarity
        self.settles = settles
        self.grammars: list[Grammar] = []
        self.grammar_of_utterance: list[Grammar | None] = []
        self.fed = 0
        """Samples of the last utterance."""
        self.opinion = SILENCE
        """What it makes of all that is heard."""
        self.attending_breaks = False

    def set_grammar(self, grammar: Grammar) -> None:
        """Keep the grammar."""
        self.grammars.append(grammar)

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Know every word."""
        return {}

    def attend(self, block: Samples) -> Opinion:
        """Say what it was told to."""
        if self.attending_breaks:
            raise RuntimeError("the engine broke")
        return self.opinion

    def forget(self) -> None:
        """Hear no words any more."""
        self.opinion = SILENCE

    def start(self) -> None:
        """Begin an utterance."""
        self.fed = 0
        self.grammar_of_utterance.append(self.grammars[-1] if self.grammars else None)

    def feed(self, block: Samples) -> None:
        """Count the samples."""
        self.fed += block.size

    def settled(self, pause_s: float) -> bool:
        """Return what was asked for."""
        return self.settles

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """Answer."""
        return Heard(self.text, 1.0, started_at, ended_at, self.clarity)
