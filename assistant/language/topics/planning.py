"""What is said of the plan of the work: what comes first, what goes on meanwhile, the end, and the booking."""

from __future__ import annotations

from typing import Protocol

from assistant.language.values import StepAt


class Planning(Protocol):
    """The plan of the rest of a job; each sentence is a proposal, and changes nothing."""

    def plan_first(self, first: StepAt | None, then: StepAt | None, meanwhile: StepAt | None) -> list[str]:
        """Say which step comes first in the plan (None: nothing before a wait is over), and which ``then``.

        ``meanwhile`` is the one that has room while the next wait goes on, or None.
        """

    def plan_helper(self, step: StepAt) -> str:
        """Say which step a helper does alone in the plan."""

    def plan_short(self, step: StepAt, people: int) -> str:
        """Say that a step takes more ``people`` than are at the job."""

    def plan_unfit(self, step: StepAt) -> str:
        """Say that no tool of the bay gives a value of a step."""

    def takes_people(self, people: int) -> str:
        """Say at a step how many ``people`` it takes: two or more."""

    def plan_ends(self, minute: int, days: int, *, at_least: bool) -> str:
        """Say about when the plan ends: so many minutes since midnight, ``days`` on; "" where that is far."""

    def booking(self, over: int, *, at_least: bool) -> str:
        """Say by how much the whole job is over the booking [s], or, below zero, that it stays within."""

    def plan_late(self, timer: str) -> str:
        """Say that an open time that runs cannot be kept any more, whatever comes first."""

    def no_plan(self) -> str:
        """Say that there is no order in which every open time is kept."""

    def not_proven(self) -> str:
        """Say that there may be a faster order than the one that was told."""
