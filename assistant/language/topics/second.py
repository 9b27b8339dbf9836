"""What is said of gates, of a second person, and of what is locked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from assistant.language.values import StepAt


class Seconds(Protocol):
    """Gates, who releases them, and who witnesses a step. ``what`` is "release" or "witness"."""

    def who_is_second(self, what: str, step: StepAt, names: Sequence[str], *, may_go_on: bool) -> list[str]:
        """Ask who does it, of those who are known (``names``) or anybody else; ``may_go_on``: without a witness too."""

    def release_ask(self, name: str, step: StepAt, reason: str) -> list[str]:
        """Read back who releases the gate and why, and ask them for their own word."""

    def witness_ask(self, name: str, step: StepAt) -> list[str]:
        """Ask a witness to look, and for their own word."""

    def only_they_say(self, what: str, name: str) -> str:
        """Say that only the second person says the word, and which it is."""

    def released(self, name: str) -> str:
        """Say that a gate is released."""

    def witnessed(self, name: str) -> str:
        """Say that a step is witnessed."""

    def gate_open(self, step: StepAt) -> str:
        """Say that a gate is not passed."""

    def gate_first(self, step: StepAt) -> str:
        """Say that a gate comes first."""

    def open_witness(self, step: StepAt) -> str:
        """Name a step that is not witnessed, inside a list of what is open."""

    def not_witnessed(self, steps: Sequence[StepAt]) -> str:
        """Say which steps are not witnessed, or ""."""

    def locked_in(self, names: Sequence[str]) -> str:
        """Say which locks are in, or "" when none is."""
