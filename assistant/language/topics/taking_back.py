"""What is said of taking a confirmation back."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.facts import Quantity
from assistant.language.values import StageAt, StepAt


class TakingBack(Protocol):
    """Taking back: how what was confirmed is called inside a sentence, and the sentences around it."""

    def take_back_this(self, what: str) -> str:
        """Say what would be taken back, as the functions below call it."""

    def confirmed_by_another(self, name: str) -> str:
        """Say that somebody else confirmed it, before the job was handed over; ``name`` may be ""."""

    def is_open_again(self, step: StepAt) -> str:
        """Say that a step further on is open again."""

    def back_in_step(self, step: StepAt, what: str, *, apart: bool = False) -> str:
        """Call ``what`` was confirmed with its step before it, ``apart`` where it has a number of its own."""

    def step_taken_as_done(self) -> str:
        """Call that something was done."""

    def was_left_out(self, bolts: Sequence[int]) -> str:
        """Call that something was left out: ``bolts``, or all of it."""

    def was_accepted(self) -> str:
        """Call that something was accepted for a reason."""

    def was_acknowledged(self, word: str) -> str:
        """Call that a hazard was acknowledged; ``word`` is the code of its signal word."""

    def card_confirmed(self, what: str) -> str:
        """Call that a card of the preparation was gone through: conditions, persons, equipment, supplies or spares."""

    def thing_told(self, name: str, *, missing: bool) -> str:
        """Call that a thing of the preparation was said to be ``missing``, or here."""

    def note_was_corrected(self, kind: str) -> str:
        """Call that a note or a problem (the ``kind``) was said again."""

    def was_started(self, name: str) -> str:
        """Call that a timer was started."""

    def timer_once_back(self, name: str, *, runs: bool) -> str:
        """Say whether a timer ``runs`` on, or does not run, once it is taken back."""

    def was_counted(self, number: int) -> str:
        """Call a count."""

    def were_fitted(self, number: int) -> str:
        """Call that new parts were fitted."""

    def was_answered(self, *, yes: bool) -> str:
        """Call an answer."""

    def was_read(self, value: Decimal, unit: str) -> str:
        """Call a value that was read off [``unit``]."""

    def were_tightened(self, bolts: Sequence[int], stage: StageAt | None, *, loose: bool) -> str:
        """Call that bolts were tightened, or loosened, in a pass (None where there is only one)."""

    def was_read_at_bolt(self, bolt: int) -> str:
        """Call a reading at a bolt."""

    def was_held(self, bolt: int) -> str:
        """Call that a bolt was said to be broken, stripped, lost or wrong."""

    def was_freed(self, bolt: int) -> str:
        """Call that a bolt which was held open was said to be in again."""

    def was_found_again(self) -> str:
        """Call that what was dropped was found."""

    def extra_was(self, how: str) -> str:
        """Call what was said of extra work: granted, declined or done."""

    def shim_was_found(self, total: Quantity) -> str:
        """Name the word that shims of this size in all were found fitted; zero is none."""

    def helper_told(self, name: str, *, came: bool) -> str:
        """Name the word that somebody ("" without a name) helps, or has left."""

    def went_past_stop(self) -> str:
        """Call that the job went on past a stop, for a reason."""

    def gate_was_released(self) -> str:
        """Call that a second person released a gate."""

    def was_seen(self) -> str:
        """Call that a second person witnessed a step."""

    def were_replaced(self, bolts: Sequence[int]) -> str:
        """Call that bolts were replaced."""

    def were_new(self, group: str) -> str:
        """Call that the fasteners of a group were said to be new."""
