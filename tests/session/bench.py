"""A bench for sessions: one session, a clock that is moved by hand, and everything that came out of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.events import Clarity, Effect, Expect, Heard, Hush, Limits, Record, Say, Source, Tone, ToneKind
from assistant.procedure.model import Procedure
from assistant.session import INPUT_KINDS, Session
from tests.fakes.mechanic import next_words

START = 1_800_000_000.0
"""Some moment; seconds since the epoch."""


class Bench:
    """One job on the bench. ``entries`` is what a journal would hold: kind, data and time of every record.

    ``tools`` is the text of a tool file, ``facts`` are more fields of the first entry.
    """

    def __init__(self, procedure: Procedure, *, limits: Limits | None = None, tools: str = "", **facts: Any) -> None:
        self.procedure = procedure
        self.limits = limits or Limits()
        self.session = Session(procedure, limits=self.limits)
        self.now = START
        self.entries: list[tuple[str, Mapping[str, Any], float]] = []
        self.spoken: list[str] = []
        self.expected: list[tuple[str, ...]] = []
        self.last: list[Effect] = []
        kept = {"tools_file": "tools.yaml", "tools_yaml": tools, "tool_clicks": {}} if tools else {}
        self.take(self.session.open(self.now, {"operator": "A. Mechanic", "keep_audio": False, **kept, **facts}))

    # What goes in

    def hear(
        self,
        text: str,
        *,
        confidence: float = 1.0,
        clarity: Clarity | None = None,
        source: Source = Source.VOICE,
        after: float = 1.0,
        unsaid: str = "",
    ) -> str:
        """Let ``after`` seconds pass, let it hear ``text``, and return what it says. Free words are dictation.

        ``unsaid`` is what it had not spoken by then.
        """
        self.wait(after)
        if clarity is None:
            known = text in self.session.grammar().phrases
            clarity = Clarity.DICTATION if self.session.grammar().dictation and not known else Clarity.PHRASE
        heard = Heard(text, confidence, round(self.now - 0.5, 3), self.now, clarity, source, unsaid=unsaid)
        return self.take(self.session.hear(heard, self.now))

    def hears(self, *texts: str) -> str:
        """Let it hear several things; return what it says to the last."""
        said = ""
        for text in texts:
            said = self.hear(text)
        return said

    def wait(self, seconds: float) -> str:
        """Let time pass; return what it says by itself meanwhile."""
        end = round(self.now + seconds, 3)
        said = []
        while (due := self.session.next_tick()) is not None and due <= end:
            self.now = max(self.now, due)
            said.append(self.take(self.session.tick(self.now)))
        self.now = end
        return " ".join(filter(None, said))

    def take(self, effects: Sequence[Effect]) -> str:
        """Keep what came out; return what is said."""
        self.last = list(effects)
        self.entries += [(effect.kind, effect.data, self.now) for effect in effects if isinstance(effect, Record)]
        self.expected += [effect.texts for effect in effects if isinstance(effect, Expect)]
        said = [effect.text for effect in effects if isinstance(effect, Say)]
        self.spoken += said
        return " ".join(said)

    # A careful mechanic

    def lead_on(self) -> None:
        """Let the careful mechanic say or do the next thing."""
        words = next_words(self.session.view(self.now))
        if words is not None:
            self.hear(words)
            return
        due = self.session.next_tick()
        assert due is not None, f"nothing leads on from here: {self.session.view(self.now)}"
        self.wait(max(0.0, due - self.now))

    def lead_to(self, step: str, *, past_hazards: bool = True) -> str:
        """Lead on until the job is at ``step``; return the last thing said."""
        for _ in range(2000):
            view = self.session.view(self.now)
            here = view["step"] is not None and view["step"]["id"] == step
            if here and not (past_hazards and view["phase"] == "hazard"):
                return self.spoken[-1]
            self.lead_on()
        raise AssertionError(f"the careful mechanic does not come to {step}")

    def lead_to_end(self, most: int = 3000) -> None:
        """Lead on until the job is closed."""
        for _ in range(most):
            if self.session.closed:
                return
            self.lead_on()
        raise AssertionError(f"the careful mechanic does not come to the end: {self.session.view(self.now)}")

    # What came out

    def facts(self, *kinds: str) -> list[Mapping[str, Any]]:
        """The data of all entries of these kinds, in order."""
        return [data for kind, data, _ in self.entries if kind in kinds]

    def records(self) -> list[Record]:
        """The records of the last answer."""
        return [effect for effect in self.last if isinstance(effect, Record)]

    def kinds(self) -> list[str]:
        """The kinds of the records of the last answer."""
        return [record.kind for record in self.records()]

    def tones(self) -> list[ToneKind]:
        """The tones of the last answer."""
        return [effect.kind for effect in self.last if isinstance(effect, Tone)]

    def hushed(self) -> bool:
        """Whether the last answer stops what is being said."""
        return any(isinstance(effect, Hush) for effect in self.last)

    def answered(self) -> bool:
        """Whether the last answer can be heard: words, a tone, or silence where there was speech."""
        return any(isinstance(effect, Say | Tone | Hush) for effect in self.last)

    @property
    def phase(self) -> str:
        """The present state."""
        return str(self.session.view(self.now)["phase"])

    def replayed(self, limits: Limits | None = None) -> Bench:
        """Build the job again from its inputs alone, and check that it writes the same entries, no more, no fewer.

        ``limits`` are those of another recogniser, which must not matter for what was understood before.
        """
        twin = Bench.__new__(Bench)
        twin.procedure, twin.now, twin.limits = self.procedure, self.now, limits or self.limits
        twin.session = Session(self.procedure, limits=twin.limits)
        twin.entries, twin.spoken, twin.expected, twin.last = [], [], [], []
        for kind, data, at in self.entries:
            if kind in INPUT_KINDS:
                twin.entries += [(record.kind, record.data, at) for record in twin.session.replay(kind, data, at)]
        assert twin.entries == self.entries
        return twin
