"""What is said of answers that the customer gave on the page."""

from __future__ import annotations

from typing import Protocol


class Customer(Protocol):
    """Answers of the customer. ``number`` is that of the extra work."""

    def answered(self, number: int, *, granted: bool) -> str:
        """Say that the customer granted, or else declined, extra work."""

    def next_goes_on(self) -> str:
        """Say what goes on from the place where it was offered."""

    def late(self, number: int, stands: str, *, granted: bool) -> list[str]:
        """Say what the customer answered too late; ``stands`` is how the work stands, "" where it is gone."""

    def finding_answered(self) -> list[str]:
        """Refuse other words for a finding that the customer has answered for, and say what to do."""

    def finding_stays(self, number: int) -> str:
        """Say that the customer has answered for a finding, so that its other words are a finding of their own."""

    def came_first(self) -> str:
        """Say that nothing was done, because the customer had answered before."""
