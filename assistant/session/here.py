"""Where a job stands: what follows from its procedure, its state and the time, and changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from assistant.fastening.quantities import Angle, AngleUnit, Torque, plain
from assistant.fastening.tools import ToolBox
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Step
from assistant.session.branching import is_closed_off, is_finished
from assistant.session.common import Common
from assistant.session.job import Job
from assistant.session.places import AnyPlace, CardPlace, EndPlace, OfferPlace, SafetyPlace, StepPlace, StopPlace
from assistant.session.state import State

STANDING: Room[Callable[[Here, Any], str]] = Room("standing")
"""By kind of step: names the state of the table in which the job stands at such a step."""

OWN_WORDS = {"i_release": Common.RELEASING, "i_have_seen": Common.WITNESSING}
"""The state in which something waits for a word that only a second person says, by that word."""


class Here:
    """One job at one moment. Times are whole milliseconds since the epoch."""

    def __init__(self, job: Job, state: State, now_ms: int) -> None:
        self.job = job
        self.state = state
        self.now_ms = now_ms

    # The state of the table

    @property
    def phase(self) -> str:
        """The present state: that of the work, or what lies over it."""
        state = self.state
        if state.closed:
            return Common.CLOSED
        if not state.opened:
            return Common.NEW
        if state.handing_over:
            return Common.HAND_OVER
        if state.dictation is not None:
            return Common.DICTATION
        if state.waiting is not None:
            return OWN_WORDS.get(state.waiting.question.WORD, Common.CONFIRMING)
        if state.granting is not None:
            return Common.GRANTED_BY if state.granting.role is None else Common.GRANTED_HOW
        if state.finding is not None:
            return Common.SEVERITY
        if state.second is not None and not state.second.name:
            return Common.NAMING
        return Common.PAUSED if state.paused else self.base

    @property
    def base(self) -> str:
        """The state of the work at this place, whatever lies over it."""
        if self.unread is not None:
            return Common.HAZARD
        return Common.DROPPED if self.in_the_machine else self.working_at(self.place)

    def working_at(self, place: AnyPlace) -> str:
        """Return the state of the work at ``place`` behind its hazards; a kind of step says it of its steps."""
        match place:
            case CardPlace() | SafetyPlace():
                return Common.PREPARING
            case OfferPlace():
                return Common.OFFERING
            case StopPlace():
                return Common.STOPPED
            case EndPlace():
                return Common.FINISHING
            case StepPlace(step=step):
                return KINDS.part(step, STANDING)(self, step)

    @property
    def waits_at_hazard(self) -> bool:
        """Whether a hazard is what the job is at, and nothing lies over it."""
        return self.unread is not None and self.phase == self.base

    # The place

    @property
    def at(self) -> int:
        """Index of the present place."""
        return self.job.index.get(self.state.place, 0)

    @property
    def place(self) -> AnyPlace:
        """The present place."""
        return self.job.places[self.at]

    def shut(self, place: AnyPlace) -> bool:
        """Return whether ``place`` does not belong to the job at present: nobody comes to it, and it is not open."""
        return bool(place.within) and is_closed_off(self.state, place)

    @property
    def places(self) -> list[AnyPlace]:
        """All places that are not shut, in order."""
        return [place for place in self.job.places if not self.shut(place)]

    def place_after(self, at: int) -> int:
        """Return the index of the place that follows the one with the index ``at``; the last one follows itself.

        A branch in which all is done is passed: nobody is led through it a second time.
        """
        places, inside = self.job.places, self.job.places[at].within
        for number in range(at + 1, len(places)):
            place = places[number]
            if not self.shut(place) and not any(
                is_finished(self.job, self.state, key) for key in place.within if key not in inside
            ):
                return number
        return at

    def place_before(self, at: int) -> int:
        """Return the index of the place that comes before the one with the index ``at``; itself at the first one."""
        return next((number for number in range(at - 1, -1, -1) if not self.shut(self.job.places[number])), at)

    @property
    def strangers(self) -> list[str]:
        """Places and timers (keys, ids) of which facts tell, and that the procedure as it is read does not have."""
        state = self.state
        places = {
            state.place, *state.visited, *state.prepared, *state.done, *state.skipped, *state.at_bolt, *state.detour,
            *(card for card, _ in state.missing),
        } - {""}  # fmt: skip
        return sorted((places - self.job.index.keys()) | (state.timers.keys() - self.job.timers.keys()))

    @property
    def step(self) -> Step | None:
        """The present step; None in the preparation and behind the end."""
        return self.place.step if isinstance(self.place, StepPlace) else None

    @property
    def unread(self) -> int | None:
        """Index of the first hazard of this place that is not acknowledged."""
        place = self.place
        numbers = range(len(place.hazards))
        return next((number for number in numbers if (place.key, number) not in self.state.acknowledged), None)

    @property
    def in_the_machine(self) -> list[int]:
        """Numbers of what was dropped and must be answered for here: closing steps and the end do not go past it.

        What was dropped on this visit is asked for at the next place.
        """
        closing = isinstance(self.place, EndPlace) or (isinstance(self.place, StepPlace) and self.place.closing)
        if not closing:
            return []
        now = 0 if isinstance(self.place, EndPlace) else self.state.visit
        return [number for number, one in self.state.dropped.items() if not one.answered and one.visit != now]

    @property
    def may_take_over(self) -> list[str]:
        """Everybody else who is known to work on the job."""
        return [name for name in self.state.operators if name != self.state.operator]

    @property
    def may_be_second(self) -> list[str]:
        """Everybody else who is known, or has been a second person before."""
        return list(
            dict.fromkeys((*self.may_take_over, *(one for one in self.state.seconds if one != self.state.operator)))
        )

    @property
    def box(self) -> ToolBox | None:
        """The tools of the bay; None without a tool file."""
        return self.job.box(self.state.tools)


def target_data(target: Torque | Angle | None) -> dict[str, Any] | None:
    """Return a target as JSON values: the number as text, the unit, and whether it is a further angle."""
    if target is None:
        return None
    if isinstance(target, Angle):
        return {"value": plain(target.to(AngleUnit.DEGREE).value), "unit": "°", "further": True}
    return {"value": plain(target.value), "unit": target.unit.value, "further": False}


def text_of(number: Decimal | None) -> str | None:
    """Return a decimal as text for a view."""
    return None if number is None else plain(number)
