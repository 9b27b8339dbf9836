"""What is said of a code that was read: in a job, and between jobs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from assistant.facts.scan import ScanDoubt, ToolStands


class Scans(Protocol):
    """What was read, and what that means; codes are spelled by their last letters and digits."""

    def unknown(self, text: str, doubt: ScanDoubt | None, *, label: bool = False) -> list[str]:
        """Say that nothing is known by the code ``text``, and what to do; ``label``: it is one of our own, of a tool.

        ``doubt`` is what is wrong with it as the number of a vehicle.
        """

    def unended(self) -> str:
        """Say that keys came faster than a person types, without the end of a code, and what to do."""

    def several(self, names: Sequence[str]) -> str:
        """Say that the things with ``names`` have one and the same code, so that none of them was taken."""

    def tool(self, name: str, stands: ToolStands) -> str:
        """Say back which tool was taken, and how it stands to the bolts."""

    def part(self, thing: str, *, again: bool) -> str:
        """Say back which thing of the preparation is here; ``again``: it was ticked off before."""

    def machine(self, *, same: bool) -> str:
        """Say whether it is the machine of the job."""

    def machine_unnamed(self, text: str) -> str:
        """Say which machine was read, in a job that names none."""

    def order_read(self, number: str) -> str:
        """Say back which order was read."""

    def machine_between(self, name: str, *, is_known: bool) -> str:
        """Say back for which machine the next job is; ``is_known``: by this name, from an order or an earlier job."""

    def no_procedure(self, *, gone: bool) -> str:
        """Say that no procedure is chosen by a code, or one that is not in the folder, and what to say."""

    def no_orders(self) -> str:
        """Say that the list of orders cannot be read."""

    def tool_between(self) -> str:
        """Say that a tool is taken in a job, and not between jobs."""

    def check_doubted(self) -> str:
        """Say that the check digit of a vehicle number does not fit, where no law asks for one."""
