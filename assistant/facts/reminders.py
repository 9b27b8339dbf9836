"""What somebody at work asked to be told of himself, and what is known of how long the work takes."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.facts.base import Fact
from assistant.facts.inputs import Input


class ReminderSet(Fact, frozen=True, kw_only=True):
    """Somebody is to be reminded in so many ``minutes``, at ``ends_ms``. It was asked for in ``step`` (None: in none).

    ``number`` counts the reminders of the job from one.
    """

    KIND = "reminder_set"
    number: int
    minutes: int
    ends_ms: int
    step: str | None = None


class ReminderEnded(Fact, frozen=True, kw_only=True):
    """The time of the reminder with the ``number`` is over."""

    KIND = "reminder_ended"
    number: int


class RemindersDropped(Fact, frozen=True, kw_only=True):
    """The reminders with these ``numbers`` are not wanted any more."""

    KIND = "reminders_dropped"
    numbers: tuple[int, ...]


class TimesKnown(Input, frozen=True, kw_only=True):
    """How long steps (by id) took in earlier jobs with the same procedure: the median of each [s].

    ``own`` are those of who works on the job, from ``own_jobs`` jobs; ``bay`` those of everybody in this bay.
    """

    KIND = "times_known"
    own: Mapping[str, int]
    own_jobs: int
    bay: Mapping[str, int]
    bay_jobs: int
