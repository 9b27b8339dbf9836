"""What is answered to somebody who asks about the job, the time, or what was said."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from decimal import Decimal
from typing import Protocol

from assistant.fastening.quantities import Angle, Torque
from assistant.language.values import StageAt, StepAt


class Questions(Protocol):
    """Answers to questions that can be asked anywhere, reminders, and what may have been meant."""

    def torque_was(
        self, value: Torque | Angle, setting: Torque | Angle | None, reading: Torque | Angle | None
    ) -> list[str]:
        """Say the last torque at the bolt, the ``setting`` of the wrench where that is another, and what was read."""

    def last_bolts(self, group: str, bolts: Sequence[int]) -> str:
        """Say at which bolts of a ``group`` that was; the group may be ""."""

    def last_place(self, step: StepAt, stage: StageAt | None) -> str:
        """Say in which step that was, and in which ``stage``, if it has several."""

    def ago(self, seconds: int) -> str:
        """Say about how long ago something was [s]."""

    def no_torque_yet(self) -> str:
        """Say that nothing was given a torque in this job yet."""

    def reading_was(self, value: Decimal, unit: str, step: StepAt, bolt: int) -> list[str]:
        """Say what was read off last [``unit``], in which step, and at which ``bolt``, or 0 where it was at none."""

    def not_read_yet(self) -> str:
        """Say that nothing was read off at the place that was named."""

    def no_reading_yet(self) -> str:
        """Say that nothing was read off in this job yet."""

    def comes(self, step: StepAt, text: str, hazard: str) -> list[str]:
        """Say that a step comes, what it tells to do, and the signal word (code) of a ``hazard`` before it, or ""."""

    def comes_thing(self, text: str) -> str:
        """Say what comes where it is no step: things of the preparation, or a hazard of the whole job."""

    def comes_bolts(self, bolts: Sequence[int], stage: StageAt | None) -> str:
        """Say which bolts come in the same step, and in which ``stage`` if that is another one."""

    def comes_end(self) -> str:
        """Say that nothing comes any more."""

    def of_size(self, size: str, number: int) -> str:
        """Say how many bolts there are of a ``size``, or of a name where no size is known."""

    def ask_for_more(self, number: int) -> str:
        """Say that there are so many more, and that they are told to whoever asks again; "" for none."""

    def no_bolts_in_job(self) -> str:
        """Say that the job has no bolts."""

    def bolts_are(self, group: str, where: str, bolts: Sequence[int]) -> list[str]:
        """Say where the bolts of a ``group`` are ("" where the procedure does not say), and which they are."""

    def time(self, minute: int) -> str:
        """Say the time of day: so many minutes since midnight [min]."""

    def done_in(self, seconds: int, minute: int, days: int, *, at_least: bool) -> list[str]:
        """Say about how long the rest takes [s], and about when that is: so many minutes since midnight, ``days`` on.

        It is never more exact than what is known; ``at_least``: there is more, of which nobody knows how long it takes.
        """

    def spent(self, seconds: int, book_seconds: int | None) -> list[str]:
        """Say about how long the job was worked on [s], without pauses, and how long the book gives it [s].

        ``book_seconds`` is None where the procedure does not say it.
        """

    def done_by(self, own_jobs: int, bay_jobs: int, *, minutes: bool, waits: bool) -> str:
        """Say how that was reached: earlier jobs of the same person, or of the bay, from ``minutes``, ``waits``."""

    def done_without(self, steps: int) -> str:
        """Say how many open steps have no time, so that they are not in it, or ""."""

    def done_estimated(self, steps: int) -> str:
        """Say for how many open steps the time is an estimate from their fasteners, which nobody measured, or ""."""

    def done_unknown(self) -> str:
        """Say that nobody knows how long the rest takes."""

    def reminder_set(self, minutes: int) -> str:
        """Read back in how many minutes somebody will be reminded [min]."""

    def reminder_left(self, seconds: int) -> str:
        """Say how long it is until somebody is reminded [s]."""

    def reminder_over(self, minutes: int, step: StepAt | None) -> list[str]:
        """Remind: so many minutes are over [min]; ``step`` where it was asked for, if that is another one."""

    def reminders_dropped(self, number: int) -> str:
        """Say that so many reminders are dropped."""

    def why_step(self, text: str) -> str:
        """Say why a step is done, as the procedure has it."""

    def why_hazard(self, consequence: str) -> str:
        """Say why a hazard must be heard: what it does ("" where the procedure does not say)."""

    def why_refused(self, code: str) -> str:
        """Say why something is refused at all, by its code; "" where the refusal says it all."""

    def why_waits(self) -> str:
        """Say why something was read back and waits for the word."""

    def no_why(self) -> str:
        """Say that the procedure does not tell why."""

    def did_you_mean(self, phrases: Collection[str]) -> str:
        """Ask whether one of one or two ``phrases`` was meant; nothing comes of it."""

    def was_it(self, phrase: str) -> str:
        """Ask in as few words as can be whether ``phrase`` was said; it waits for yes or no."""

    def with_slot(self, phrase: str) -> str:
        """Return a phrase as it is told to somebody, with words in the place of its number or its name."""
