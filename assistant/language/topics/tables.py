"""What is said about tables of readings: what is read off next, what is out of limits, and how a place is called."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple, Protocol

from assistant.language.values import StepAt


class Called(NamedTuple):
    """A place of a table: its ``row``, in digits or as it is named, its ``column``, and what each row is (``each``).

    ``column`` is "" where a table has only one; ``when`` is "found", "left", or "" where that need not be said.
    """

    row: str
    column: str
    each: str
    when: str = ""


class Tables(Protocol):
    """Tables of readings."""

    def next_cell(self, cell: Called, *, whole: bool) -> str:
        """Say which reading is next, as short as can be; ``whole``: with what its row is."""

    def cell_names(self, cell: Called) -> list[str]:
        """Return all that may be said to call a place, as a recogniser spells it."""

    def value(self, value: Decimal) -> str:
        """Say a reading back without its unit, digit by digit where it sounds like another."""

    def value_off(self, value: Decimal, *, below: bool) -> str:
        """Say a reading back that is ``below``, or else above, its limits."""

    def far(self, value: Decimal) -> list[str]:
        """Read back a reading that is far from its limits, to be confirmed."""

    def all_within(self, number: int, left_out: int) -> str:
        """Say that all of ``number`` readings are within limits, but for so many that were left out."""

    def cells_outside(self, cells: Sequence[tuple[Called, Decimal]], of: int, *, first: int = 0) -> list[str]:
        """Say which readings are out of limits: ``cells`` of them all, which are ``of``, behind the ``first`` ones."""

    def skip_cell(self, cell: Called) -> str:
        """Say what leaving out a reading means, to be asked."""

    def cell_was_read(self, cell: Called, value: Decimal) -> str:
        """Call a reading at a place, inside a sentence."""

    def cell_was_left_out(self, cell: Called) -> str:
        """Call that a reading was left out, inside a sentence."""

    def accept(self, number: int) -> str:
        """Say what accepting readings out of limits means, to be asked."""

    def are_off(self, number: int) -> str:
        """Say how many readings are out of limits, before the reason for taking them is asked for."""

    def readings_left(self, number: int) -> str:
        """Say how many readings are still to do."""

    def open_off(self, number: int, step: StepAt) -> str:
        """Name a step with so many readings out of limits."""

    def open_cells_out(self, number: int, step: StepAt) -> str:
        """Name a step in which so many readings were left out."""

    def bolts_too_long(self, bolts: Sequence[int]) -> str:
        """Say that bolts are longer than their procedure lets them be, and are replaced."""

    def bolts_close(self, bolts: Sequence[int]) -> str:
        """Say that bolts are so close to the longest length that a measurement cannot tell, and what to do."""
