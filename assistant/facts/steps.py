"""What was done in steps, and timers."""

from __future__ import annotations

from assistant.facts.base import Fact


class StepDone(Fact, frozen=True, kw_only=True):
    """A step is done."""

    KIND = "step_done"
    step: str
    repeated: bool = False


class StepAnswer(Fact, frozen=True, kw_only=True):
    """What a step asks for was given; ``is_right`` says whether it is as it should be."""

    step: str
    repeated: bool = False

    @property
    def is_right(self) -> bool:
        """Whether the answer is as it should be."""
        return True


class TimerStarted(Fact, frozen=True, kw_only=True):
    """A timer began; it ends at ``ends_ms``. ``visit`` is that of the place on which it was asked for, or 0."""

    KIND = "timer_started"
    timer: str
    seconds: int
    ends_ms: int
    visit: int = 0
    repeated: bool = False


class TimerWarned(Fact, frozen=True, kw_only=True):
    """An open time is nearly over; ``quiet`` when it ended while nobody was there to be warned."""

    KIND = "timer_warned"
    timer: str
    seconds_left: int
    quiet: bool = False


class TimerEnded(Fact, frozen=True, kw_only=True):
    """The time of a timer is over."""

    KIND = "timer_ended"
    timer: str


class TimersDoubted(Fact, frozen=True, kw_only=True):
    """The computer's clock was set, so these running timers are asked about."""

    KIND = "timers_doubted"
    timers: tuple[str, ...]


class TimerAgreed(Fact, frozen=True, kw_only=True):
    """The computer's clock had been set, and the timer is right all the same."""

    KIND = "timer_agreed"
    timer: str
    seconds_left: int


class TimerStopped(Fact, frozen=True, kw_only=True):
    """The last step that had to come before its end is done, or left out (``left_out``: those)."""

    KIND = "timer_stopped"
    timer: str
    left_out: tuple[str, ...] = ()


class TimerRunsOn(Fact, frozen=True, kw_only=True):
    """A step that had to come before its end and was left out is come back to: it had never stopped."""

    KIND = "timer_runs_on"
    timer: str
