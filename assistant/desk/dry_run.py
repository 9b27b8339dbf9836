"""A dry run of a procedure, as a polite mechanic would do it: the real session says what it would say in the bay.

He does all that the procedure asks, on a clock that is not the wall's: it runs on by the length of what is said, by the
minutes of the steps and by the waits. So the dry run tells how long the job takes, and whether an open time holds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from assistant.events import Clarity, Heard, Say, Source
from assistant.facts.inputs import Opened
from assistant.facts.steps import TimerEnded
from assistant.language.chosen import LANGUAGE
from assistant.language.sentence import Sentence
from assistant.procedure.model import Procedure, Step, TimerKind
from assistant.session.session import Reply, Session

_GOES_THROUGH_WITH = frozenset({"finish", "late", "unsure_reading", "heard_number"})
_REASON = LANGUAGE.talk.text(Sentence.ONLY_A_PREVIEW)
_SECOND = LANGUAGE.talk.text(Sentence.SECOND_PERSON)
_ANSWER_S = 1.0
"""How long a mechanic takes to answer [s] (common practice, no source)."""
_MOST_TURNS = 40
"""Answers at one place, for each bolt of it; more means that the dry run leads nowhere."""


@dataclass(slots=True)
class Stop:
    """What is said at one place: ``turns`` are spoken in one breath each; all times in seconds."""

    key: str
    chapter: str
    title: str
    step: Step | None = None
    turns: list[str] = field(default_factory=list)
    spoken: float = 0.0
    waited: float = 0.0
    answered: float = 0.0
    worked: bool = False
    overdue: list[str] = field(default_factory=list)
    """Names of the open times that were over before this place was done."""

    @property
    def hands(self) -> float:
        """How long the step itself takes [s]; 0 when the procedure does not say."""
        return float(self.step.minutes * 60) if self.step is not None and self.step.minutes is not None else 0.0


def dry_run(procedure: Procedure, length: Callable[[str, Stop], float]) -> list[Stop]:
    """Return the stops of a whole job. ``length`` gives the length [s] of a text that is spoken at a stop.

    Raises:
        RuntimeError: the session leads nowhere.
    """
    return _DryRun(procedure, length).all()


PREPARING, CLOSING = "Preparation", "Closing"
"""The stops before and after the chapters."""
_CARDS = {
    "conditions": "Conditions",
    "persons": "People",
    "equipment": "Tools and equipment",
    "supplies": "Supplies",
    "spares": "Spare parts",
    "safety": "Hazards of the whole job",
    "end": "End of the job",
}


_OPENED = Opened(
    title="", procedure_id="", procedure_revision="", procedure_sha256="", procedure_file="", procedure_yaml=""
)
"""A dry run is kept nowhere, so nothing of it has to be named."""


class _DryRun:
    def __init__(self, procedure: Procedure, length: Callable[[str, Stop], float]) -> None:
        self._procedure = procedure
        self._length = length
        self._session = Session(procedure, language=LANGUAGE)
        self._now = 0.0
        self._stops: dict[str, Stop] = {}
        self._titles = _titles(procedure)
        self._open = {timer.id: timer.name for timer in procedure.timers if timer.kind is TimerKind.OPEN}

    def all(self) -> list[Stop]:
        self._take(self._session.open(_OPENED, self._now))
        answers: dict[str, int] = {}
        while not self._session.closed:
            stop = self._stop()
            answers[stop.key] = answers.get(stop.key, 0) + 1
            if answers[stop.key] > _MOST_TURNS * _bolts(stop.step):
                raise RuntimeError(f"the dry run does not get past {stop.title!r}")
            view = self._session.view(self._now)
            words = self._words(view)
            if words is None:
                self._wait(stop)
                continue
            if not (view["hazard"] or view["pending"] or view["dictation"] or stop.worked):
                stop.worked = True
                self._let_pass(stop.hands)
            began, self._now = self._now + _ANSWER_S / 2, self._now + _ANSWER_S
            stop.answered += _ANSWER_S
            clarity = Clarity.DICTATION if words == _REASON else Clarity.PHRASE
            source = Source.KEY if words == _SECOND else Source.VOICE
            self._take(self._session.hear(Heard(words, 1.0, began, self._now, clarity, source), self._now))
        return list(self._stops.values())

    def _stop(self) -> Stop:
        key = str(self._session.view(self._now)["place"])
        if key not in self._stops:
            before, _, number = key.partition(":")
            other = (self._last_chapter(), f"{_CARDS.get(before, before)} {number}".strip(), None)
            chapter, title, step = self._titles.get(key, other)
            self._stops[key] = Stop(key, chapter, title, step)
        return self._stops[key]

    def _last_chapter(self) -> str:
        return CLOSING if any(stop.step for stop in self._stops.values()) else PREPARING

    def _take(self, reply: Reply) -> None:
        """Let what is said be heard to its end; what the time brings meanwhile comes after it."""
        stop = self._stop()
        for fact in reply.facts:
            if isinstance(fact, TimerEnded) and fact.timer in self._open:
                stop.overdue.append(self._open[fact.timer])
        for effect in reply.effects:
            if isinstance(effect, Say):
                seconds = self._length(effect.text, stop)
                stop.turns.append(effect.text)
                stop.spoken += seconds
                self._now += seconds

    def _let_pass(self, seconds: float) -> None:
        """Let the hands work for some time, in which timers may come to their end."""
        until = self._now + seconds
        while (due := self._session.next_tick()) is not None and due <= until:
            self._now = max(self._now, due)
            self._take(self._session.tick(self._now))
        self._now = max(self._now, until)

    def _wait(self, stop: Stop) -> None:
        due = self._session.next_tick()
        if due is None:
            raise RuntimeError(f"nothing ends the wait at {stop.title!r}")
        stop.waited += max(0.0, due - self._now)
        self._now = max(self._now, due)
        self._take(self._session.tick(self._now))

    def _words(self, view: Mapping[str, Any]) -> str | None:
        """Return what the mechanic says now; None when he waits for a timer."""
        if view["dictation"]:
            return _said("end_note") if view["dictation"]["words"] else _REASON
        if view["second"]:
            return _SECOND
        if view["pending"] and view["leads_on"][0] != "confirmed":
            return _said(view["leads_on"][0])  # the second person says it
        if view["pending"]:
            return _said("confirmed" if view["pending"]["action"] in _GOES_THROUGH_WITH else "cancel")
        intent, ask = view["leads_on"][0], view["ask"]
        match intent:
            case "yes" | "no" if ask is None:  # extra work is offered: the dry run is of the job alone
                return _said("no")
            case "yes" | "no":
                return _said(str(ask["expected"]))
            case "count":
                return _said(intent, Decimal(ask["expected"]))
            case "bare_reading":
                value = Decimal(ask["low"] or ask["high"] or 0)
                return LANGUAGE.numbers.heard_words(value) if value >= 0 else _said("reading_below", -value)
            case "reading" if ask is None:  # what a bolt reads has no value of its own to expect
                return _said("next")
            case "reading":
                value = Decimal(ask["low"] or ask["high"] or 0)
                return _said("reading_below" if value < 0 else intent, abs(value))
            case "filled":
                return _said(intent, Decimal(ask["amount"]))
            case "time_left":
                return None
        return _said(intent)


def _titles(procedure: Procedure) -> dict[str, tuple[str, str, Step | None]]:
    """Return chapter, title and step of every place that has a step."""
    titles: dict[str, tuple[str, str, Step | None]] = {}
    number = 0
    for chapter in procedure.chapters:
        for step in chapter.steps:
            number += 1
            titles[step.id] = (chapter.name, f"{number}. {step.text}", step)
    for number, step in enumerate(procedure.closing, 1):
        titles[step.id] = (CLOSING, f"Closing {number}. {step.text}", step)
    return titles


def _bolts(step: Step | None) -> int:
    stages = getattr(step, "stages", ())
    places = len(getattr(step, "rows", ())) * len(getattr(step, "columns", ()))
    return (
        1
        + places
        + sum(int(one.repeat) * len(run.bolts) for stage in stages for one in stage.passes for run in one.runs)
    )


def _said(intent: str, number: Decimal | None = None) -> str:
    phrase = LANGUAGE.phrases.phrases(intent)[0]
    return phrase if number is None else f"{phrase} {LANGUAGE.numbers.heard_words(number)}"
