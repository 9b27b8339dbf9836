"""A bench for sessions: one session, a clock that is moved by hand, and everything that came out of it."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from assistant import facts
from assistant.events import Clarity, Effect, Expect, Heard, Hush, Say, Source, Thresholds, Tone, ToneKind
from assistant.facts.inputs import Opened, Resumed, ToolFile
from assistant.language.en import ENGLISH
from assistant.procedure.model import Procedure
from assistant.session.evolving.table import fold
from assistant.session.session import Reply, Session
from tests.fakes.mechanic import SECOND, next_words

START = 1_800_000_000.0
"""Some moment; seconds since the epoch."""


class Bench:
    """One job on the bench. ``entries`` is what a journal would hold: every fact with its time.

    ``tools`` is the text of a tool file, ``clicks`` are those of other jobs, ``more`` are fields of the first entry.
    """

    def __init__(
        self,
        procedure: Procedure,
        *,
        limits: Thresholds | None = None,
        tools: str = "",
        clicks: Mapping[str, int] | None = None,
        **more: Any,
    ) -> None:
        self.procedure = procedure
        self.limits = limits or Thresholds()
        self.session = Session(procedure, language=ENGLISH, limits=self.limits)
        self.now = START
        self.entries: list[tuple[facts.Fact, float]] = []
        self.spoken: list[str] = []
        self.expected: list[tuple[str, ...]] = []
        self.last = Reply()
        self.take(self.session.open(opened(procedure, tools, clicks, **more), self.now))

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
        drowned: bool = False,
    ) -> str:
        """Let ``after`` seconds pass, let it hear ``text``, and return what it says. Free words are dictation.

        ``unsaid`` is what it had not spoken by then; ``drowned``: the noise was as loud as the voice.
        """
        self.wait(after)
        if clarity is None:
            known = text in self.session.grammar().phrases
            clarity = Clarity.DICTATION if self.session.grammar().dictation and not known else Clarity.PHRASE
        heard = Heard(
            text, confidence, round(self.now - 0.5, 3), self.now, clarity, source, unsaid=unsaid, drowned=drowned
        )
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

    def resume(self, **changed: Any) -> str:
        """Take the job up again by the fold of its facts, and return what it says."""
        assert fold(fact for fact, _ in self.entries) == self.session.state
        state = fold(fact for fact, _ in self.entries)
        self.session = Session(self.procedure, language=ENGLISH, limits=self.limits, state=state)
        return self.take(self.session.resume(Resumed(**changed), self.now))

    def take(self, reply: Reply) -> str:
        """Keep what came out; return what is said."""
        self.last = reply
        self.entries += [(fact, self.now) for fact in reply.facts]
        self.expected += [effect.texts for effect in reply.effects if isinstance(effect, Expect)]
        said = [effect.text for effect in reply.effects if isinstance(effect, Say)]
        self.spoken += said
        return " ".join(said)

    # A careful mechanic

    def lead_on(self) -> None:
        """Let the careful mechanic say or do the next thing."""
        words = next_words(self.session.view(self.now))
        if words is not None:
            self.hear(words, source=Source.KEY if words == SECOND else Source.VOICE)
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
        """The fields of all facts of these kinds, in order, as the journal holds them."""
        return [facts.dump(fact)[2] for fact, _ in self.entries if fact.KIND in kinds]

    def records(self) -> list[tuple[str, Mapping[str, Any]]]:
        """Kind and fields of the facts of the last answer."""
        return [(fact.KIND, facts.dump(fact)[2]) for fact in self.last.facts]

    def kinds(self) -> list[str]:
        """The kinds of the facts of the last answer."""
        return [fact.KIND for fact in self.last.facts]

    @property
    def effects(self) -> tuple[Effect, ...]:
        """What the last answer does besides."""
        return self.last.effects

    def tones(self) -> list[ToneKind]:
        """The tones of the last answer."""
        return [effect.kind for effect in self.effects if isinstance(effect, Tone)]

    def hushed(self) -> bool:
        """Whether the last answer stops what is being said."""
        return any(isinstance(effect, Hush) for effect in self.effects)

    def answered(self) -> bool:
        """Whether the last answer can be heard: words, a tone, or silence where there was speech."""
        return any(isinstance(effect, Say | Tone | Hush) for effect in self.effects)

    @property
    def phase(self) -> str:
        """The present state."""
        return str(self.session.view(self.now)["phase"])


def tool_file(text: str, clicks: Mapping[str, int] | None = None) -> ToolFile:
    """Return a tool file of which ``text`` is the text, with the clicks of other jobs."""
    return ToolFile("tools.yaml", text, sha256(text.encode()).hexdigest(), clicks or {})


def opened(procedure: Procedure, tools: str = "", clicks: Mapping[str, int] | None = None, **more: Any) -> Opened:
    """Return the first entry of a job; ``tools`` is the text of a tool file."""
    given: dict[str, Any] = {
        "title": procedure.title,
        "procedure_id": procedure.id,
        "procedure_revision": procedure.revision,
        "procedure_sha256": "",
        "procedure_file": "procedure.yaml",
        "procedure_yaml": "",
        "operator": "A. Mechanic",
        "tools": tool_file(tools, clicks) if tools else None,
    }
    return Opened(**(given | more))
