"""The session: the way into this room. Pure: it reads no clock and does no I/O."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.events import Clarity, Command, Effect, Expect, Grammar, Heard, Say, Show, Source, Thresholds
from assistant.facts import Fact
from assistant.facts.customer import CustomerAnswered
from assistant.facts.detours import NotGone
from assistant.facts.going import Refused
from assistant.facts.inputs import (
    ClockSet,
    NotUnderstood,
    Opened,
    Resumed,
    SetWhen,
    TimeCame,
    Understood,
    UnderstoodAlike,
    UnderstoodOf,
    UnsureOf,
)
from assistant.facts.packs import BoxKnown
from assistant.facts.photos import PhotoCame
from assistant.facts.reminders import TimesKnown
from assistant.facts.scan import ScanFrom
from assistant.facts.withdrawn import RevisionGone
from assistant.language.port import Language
from assistant.procedure.model import Procedure
from assistant.session import table
from assistant.session.customer import CustomerWork, works_of
from assistant.session.deciding.decide import decide
from assistant.session.deciding.time import next_ms
from assistant.session.far import heard_now
from assistant.session.here import Here
from assistant.session.intents import KNOBS, QUESTIONS
from assistant.session.job import Job
from assistant.session.scanned import understand_scan
from assistant.session.state import State
from assistant.session.telling import every  # noqa: F401 (every teller enters its table)
from assistant.session.telling.core import Telling
from assistant.session.understanding import Unclear, grammar, understand
from assistant.session.view import LastHeard, view


@dataclass(frozen=True, slots=True)
class Reply:
    """What an input brings about: ``facts`` for the journal, and ``effects`` to carry out once they are on disk."""

    facts: tuple[Fact, ...] = ()
    effects: tuple[Effect, ...] = ()


NO_REPLY = Reply()


class Session:
    """One job. Feed it what was heard and the time; keep the facts that it answers, then carry out the effects.

    Its state is the fold of its facts: a stored job is gone on with by ``Session(procedure, state=fold(facts), ...)``.
    """

    def __init__(
        self,
        procedure: Procedure,
        *,
        language: Language,
        limits: Thresholds = Thresholds(),  # noqa: B008
        state: State = State(),  # noqa: B008
        clock_min: Callable[[int], int] = lambda _at_ms: 0,
    ) -> None:
        """Begin where ``state`` stands in ``procedure``.

        ``language`` gives every word; ``limits`` are the least confidences (0 to 1), by weight of a phrase.
        ``clock_min`` tells how far the clock on the wall is ahead of UTC [min] at a time [ms since the epoch].
        """
        self._job = Job(procedure, Decimal(str(limits.reading)))
        self._language = language
        self._limits = limits
        self._clock_min = clock_min
        self._state = state
        self._last_said = ""
        self._last_heard: LastHeard | None = None
        self._earlier: tuple[str, LastHeard | None] = ("", None)
        self.quiet_since = 0.0
        """Since when the voice is silent [s since the epoch]: what was asked waits from then on. The bay sets it."""

    @property
    def closed(self) -> bool:
        """Whether the job is closed."""
        return self._state.closed

    @property
    def procedure(self) -> Procedure:
        """What is worked through."""
        return self._job.procedure

    @property
    def state(self) -> State:
        """The fold of all facts up to now."""
        return self._state

    @property
    def for_customer(self) -> list[CustomerWork]:
        """What of the job concerns the customer: the extra work."""
        return works_of(self._here(0.0))

    @property
    def strangers(self) -> list[str]:
        """Places and timers of which the facts tell, and that the procedure as it is read now does not have."""
        return self._here(0.0).strangers

    def remember(self, before: Session) -> None:
        """Take what was said and heard last before the newest answer of ``before``, in whose place this one goes on.

        That answer was not kept, and nobody heard it; "repeat" asks for the one before.
        """
        self._last_said, self._last_heard = before._earlier
        self.quiet_since = before.quiet_since

    def open(self, opened: Opened, now: float) -> Reply:
        """Open the job at ``now`` [s since the epoch] with its first entry."""
        return self._take(opened, now)

    def resume(self, resumed: Resumed, now: float) -> Reply:
        """Take the job up again at ``now`` [s since the epoch], and say in one breath where it is."""
        return NO_REPLY if self.closed else self._take(resumed, now)

    def know(self, known: TimesKnown | BoxKnown, now: float) -> Reply:
        """Take up at ``now`` [s since the epoch] how long steps took, or what is in the box; nothing is said."""
        return NO_REPLY if self.closed else self._take(known, now)

    def withdrawn(self, gone: RevisionGone, now: float) -> Reply:
        """Take up at ``now`` [s since the epoch] that the procedure was withdrawn; a job that begins asks first."""
        return NO_REPLY if self.closed else self._take(gone, now)

    def customer(self, answered: CustomerAnswered, now: float) -> Reply:
        """Take an answer of the customer at ``now`` [s since the epoch]; it is told when nothing else is asked."""
        return NO_REPLY if self.closed else self._take(answered, now)

    def photo(self, came: PhotoCame, now: float) -> Reply:
        """Take a photo that lies in its file at ``now`` [s since the epoch]."""
        return NO_REPLY if self.closed or not self._state.opened else self._take(came, now)

    def scan(self, text: str, source: ScanFrom, now: float) -> Reply:
        """Take a code that a reader read at ``now`` [s since the epoch]; it is never a command."""
        if self.closed or not self._state.opened:
            return NO_REPLY
        return self._take(understand_scan(self._here(now), text, source), now)

    def hear(self, heard: Heard, now: float) -> Reply:
        """Answer one utterance, key or pedal at ``now`` [s since the epoch]; nothing for talk that was not for us."""
        here = self._here(now)
        self._earlier = self._last_said, self._last_heard
        if self.closed or not self._state.opened:
            return NO_REPLY
        meant = understand(heard, here, self._limits, self._language)
        if meant is None:
            return NO_REPLY
        common: dict[str, Any] = {
            "confidence": Decimal(f"{heard.confidence:.3f}"),
            "started_ms": round(heard.started_at * 1000),
            "ended_ms": round(heard.ended_at * 1000),
            "source": heard.source,
            "clarity": heard.clarity,
            "hazard": heard_now(here, heard.unsaid, self._language),
        }
        if isinstance(meant, Unclear):
            last = LastHeard(heard.text, meant.why)
            if meant.intent:
                return self._take(UnsureOf(why=meant.why, intent=meant.intent, **common), now, last)
            return self._take(NotUnderstood(why=meant.why, text=heard.text, **common), now, last)
        given = _understood(meant, common)
        return self._take(given, now, LastHeard(heard.text))

    def takes(self, heard: Heard, now: float) -> bool:
        """Return whether ``heard`` is a command that is taken now, as sure as a critical one; nothing comes of it."""
        sure = Thresholds(self._limits.critical, self._limits.critical, self._limits.critical)
        return isinstance(understand(heard, self._here(now), sure, self._language), Command)

    def tick(self, now: float) -> Reply:
        """Let happen what the time brings by ``now`` [s since the epoch]."""
        due = self._due(now)
        if due is None or due > round(now * 1000):
            return NO_REPLY
        return self._take(TimeCame(due_ms=due), now)

    def next_tick(self) -> float | None:
        """Return when :meth:`tick` should be called next [s since the epoch], or None."""
        due = self._due(0.0)
        return None if due is None else due / 1000

    def clock_set(self, by_s: float, now: float, when: SetWhen = SetWhen.RUNNING) -> Reply:
        """Take up at ``now`` [s since the epoch] that the computer's clock was set by ``by_s`` seconds (below 0: back).

        The job's own time is not that of the computer's clock, so nothing moves; but what a running timer began with
        may have been wrong, so each is asked about.
        """
        return NO_REPLY if self.closed else self._take(ClockSet(by_ms=round(by_s * 1000), when=when), now)

    def grammar(self) -> Grammar:
        """Return what may be said now; the same object as long as it is the same."""
        return grammar(self._here(0.0), self._language)

    def view(self, now: float) -> Mapping[str, Any]:
        """Return what a display may show at ``now`` [s since the epoch]: plain JSON values."""
        return view(self._here(now), self._language, self._last_heard, self._last_said)

    # One input

    def standing(self, now: float) -> Here:
        """Return how the job stands at ``now`` [s since the epoch], for who reads it and changes nothing."""
        return self._here(now)

    def _here(self, now: float) -> Here:
        return Here(self._job, self._state, round(now * 1000))

    def _due(self, now: float) -> int | None:
        return None if self.closed or not self._state.opened else next_ms(self._here(now), self._quiet_ms)

    @property
    def _quiet_ms(self) -> int:
        return round(self.quiet_since * 1000)

    def _take(self, given: Fact, now: float, heard: LastHeard | None = None) -> Reply:
        now_ms = round(now * 1000)
        self._earlier = self._last_said, self._last_heard
        facts = decide(self._job, self._state, given, now_ms, self._quiet_ms)
        told = self._telling(facts, now_ms)
        effects = told.tell()
        self._state, self._last_said = told.state, told.last_said
        if heard is not None:
            refused = isinstance(given, Understood) and _refused(given, facts)
            self._last_heard = heard.answered(refused=refused)
        return Reply(facts, (*effects, Show(self.view(now)), *self._expected(now_ms)))

    def _telling(self, facts: Sequence[Fact], now_ms: int) -> Telling:
        clock_min = self._clock_min(now_ms)
        return Telling(self._job, self._state, facts, now_ms, self._language, self._last_said, clock_min)

    def _expected(self, now_ms: int) -> Sequence[Effect]:
        """Return the sentences that will probably be said next: those that the likely commands would bring about."""
        here = Here(self._job, self._state, now_ms)
        texts: list[str] = []
        for command in () if self.closed else table.row_of(here.phase).likely(here):
            given = _supposed(command, now_ms)
            facts = decide(self._job, self._state, given, now_ms, self._quiet_ms)
            told = self._telling(facts, now_ms).tell()
            texts += [effect.text for effect in told if isinstance(effect, Say)]
        return [Expect(tuple(dict.fromkeys(texts)))] if texts else []


def _refused(given: Understood, facts: Sequence[Fact]) -> bool:
    """Return whether nothing came of a command."""
    if any(isinstance(fact, Refused | NotGone) for fact in facts):
        return True
    return len(facts) == 1 and given.intent not in (*QUESTIONS, *KNOBS)


def _supposed(command: Command, now_ms: int) -> Understood:
    """Return the input that a command would be if it came now."""
    heard = {
        "confidence": Decimal(1), "started_ms": now_ms, "ended_ms": now_ms, "source": Source.VOICE,
        "clarity": Clarity.PHRASE,
    }  # fmt: skip
    return _understood(command, heard)


def _understood(meant: Command, heard: Mapping[str, Any]) -> Understood:
    """Return the input that ``meant`` is, which was ``heard`` so."""
    given = {"intent": meant.intent, "number": meant.number, "words": meant.text, **heard}
    if meant.alike:
        return UnderstoodAlike(**given, name=meant.name, alike=meant.alike)
    return UnderstoodOf(**given, name=meant.name) if meant.name else Understood(**given)
