"""What is said of branches of the job, of extra work, and of findings."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.language.values import StepAt


class ExtraWork(Protocol):
    """Branches, extra work that must be granted, and findings. ``number`` is that of the extra work."""

    def leads_to(self, title: str, steps: int, minutes: Decimal | None, *, extra: bool) -> list[str]:
        """Say where an answer leads, and ask for the word; ``title`` may be "", ``extra``: it must be granted."""

    def beyond_limit(self, *, below: bool) -> str:
        """Say that a reading is ``below``, or else above, its limit."""

    def opens(self, title: str, steps: int, minutes: Decimal | None) -> list[str]:
        """Say that a branch begins."""

    def back_to_job(self) -> str:
        """Say that a branch is behind, and the job goes on."""

    def asked_again(self) -> str:
        """Say that the check comes again."""

    def stops(self, *, passed: bool) -> list[str]:
        """Say that the job stops here, and what leads past it."""

    def stop_passed_summary(self) -> str:
        """Say what going on past a stop means, to be asked."""

    def at_stop(self) -> str:
        """Say that the job stands where it stops."""

    def offer_work(self, number: int, title: str, why: str, minutes: Decimal | None) -> list[str]:
        """Offer extra work, and ask."""

    def at_offer(self, title: str) -> str:
        """Say that the job stands where extra work is offered."""

    def answer_offer(self) -> str:
        """Say how an offer is answered."""

    def later(self, number: int) -> str:
        """Say that the question about extra work is left open."""

    def work_declined(self) -> str:
        """Say that extra work is declined, and stays as advice."""

    def granted_by(self, operators: int) -> list[str]:
        """Ask who granted it; ``operators``: how many people are known by number."""

    def granted_how(self) -> str:
        """Ask how it was granted."""

    def grant_ask(self, number: int, title: str, role: str, name: str, way: str) -> list[str]:
        """Read a grant back, and ask for the word; ``role`` and ``way`` are codes, ``name`` that of a person, or ""."""

    def work_granted(self, number: int) -> str:
        """Say that extra work is granted."""

    def granted_elsewhere(self, number: int, step: StepAt, *, stops: bool) -> str:
        """Say where granted work stands, what leads there, and whether the job ``stops`` behind it."""

    def granted_no_steps(self, number: int) -> str:
        """Say what to say when granted work that has no steps is done."""

    def takes_minutes(self, number: int, minutes: Decimal) -> str:
        """Say about how many minutes extra work takes."""

    def clock_runs(self, number: int) -> list[str]:
        """Say that the time of extra work without steps runs, and what ends it."""

    def clock_stands(self, number: int) -> str:
        """Say that the time of extra work without steps does not run any more."""

    def not_clocked(self) -> str:
        """Say that no such work was begun."""

    def decline_ask(self, number: int, title: str) -> list[str]:
        """Ask whether extra work is declined."""

    def done_ask(self, number: int, title: str) -> list[str]:
        """Ask whether extra work is done."""

    def work_done(self, number: int) -> str:
        """Say that extra work is done."""

    def no_extra(self) -> str:
        """Say that there is no extra work that this can be said of."""

    def which(self, numbers: Sequence[int]) -> str:
        """Ask which extra work is meant."""

    def not_granted(self) -> str:
        """Say that only granted work opens."""

    def no_steps(self) -> str:
        """Say that the work has no steps to go to."""

    def has_steps(self) -> str:
        """Say that the work has steps, and is done by them."""

    def work_stands(self, number: int, title: str, how: str, *, corrected: bool = False) -> str:
        """Say how extra work stands: asked, granted, declined, done or advised; ``corrected``: in other words."""

    def none(self) -> str:
        """Say that there is no extra work."""

    def finding_ask(self) -> str:
        """Ask how bad a finding is."""

    def finding_at(self, step: StepAt | None) -> str:
        """Say where a finding is."""

    def no_such_step(self) -> str:
        """Say that there is no such step."""

    def finding_read(self, text: str, step: StepAt | None, severity: str) -> list[str]:
        """Read a finding back with its severity (a code), and ask for the word."""

    def finding_kept(self, number: int, *, silent: bool, severity: str) -> list[str]:
        """Say that a finding is kept; ``silent``: nobody said how bad it is. Severe ones ask for an answer."""

    def finding_corrected(self, number: int, *, severity: str) -> list[str]:
        """Say that a finding counts in other words. Severe ones ask for an answer."""

    def finding_shown(self, number: int, text: str, *, corrected: bool) -> str:
        """Return a finding that was confirmed a moment ago, for a display."""

    def open_asked(self, number: int, title: str) -> str:
        """Name extra work that nobody has answered for."""

    def open_granted(self, number: int, title: str) -> str:
        """Name extra work that is granted and not done."""

    def open_before_running(self, number: int, title: str) -> str:
        """Name a finding that must be seen to before the machine runs, and was declined."""
