"""What is said of going elsewhere than on: what stays open, what is in the way, and what may be done meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from assistant.language.values import StepAt


class Detours(Protocol):
    """Going to a named step, back by some, back to where somebody was, and what may be done while something waits."""

    def step_names(self, step: StepAt) -> list[str]:
        """Return what a step is called by who goes to it: lower case, as a recogniser spells it."""

    def chapter_names(self, name: str) -> list[str]:
        """Return what a chapter with this ``name`` is called; [] where it has no letters."""

    def kind_names(self, kind: str) -> list[str]:
        """Return what the next step of a ``kind`` (the key that makes it in a file) is called; [] for none."""

    def stays_open(self, steps: Sequence[StepAt]) -> str:
        """Say how many steps, and which, are jumped over and stay open; "" for none."""

    def steps_open(self, steps: Sequence[StepAt]) -> str:
        """Say how many steps, and which, are open before the present place; "" for none."""

    def say_go_to(self, step: StepAt) -> str:
        """Say what to say to go to a step."""

    def way_confirmed(self, step: StepAt | None) -> str:
        """Say what the word means behind the hazards on the way to ``step``, or to another place."""

    def obstacle(self, why: str, name: str, first: StepAt | None) -> list[str]:
        """Say what is in the way (a code of the obstacle and its ``name``), and which step comes ``first``."""

    def needs(self, steps: Sequence[StepAt]) -> str:
        """Say that the present step needs ``steps`` that are open; "" for none."""

    def on_detour(self, step: StepAt | None) -> str:
        """Say that this is a detour, and from which step, or from another place, it began."""

    def may_do(self, steps: Sequence[StepAt], cools: bool | None) -> list[str]:
        """Say which steps may be done while it cools, cures (not ``cools``), or is waited for (None); [] for none."""
