"""Passes that are proposed for a joint whose procedure names only the last torque: advice, never a programme."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.fastening.quantities import Torque


@dataclass(frozen=True, slots=True)
class PassProposal:
    """One pass: ``share`` [%] of the last torque, the range [%] that the guideline names, and whether it goes around.

    ``torque`` is None where no last torque is known. A pass that goes ``around`` takes the bolts one beside the other.
    """

    share: int
    low: int
    high: int
    around: bool
    torque: Torque | None


_PASSES = ((30, 20, 30, False), (70, 50, 70, False), (100, 100, 100, False), (100, 100, 100, True))


def pass_proposals(last: Torque | None) -> tuple[PassProposal, ...]:
    """Return the passes that lead to the ``last`` [torque]: 30, 70 and 100 %, then once around at 100 %.

    Formula: share of the last torque, exact; who sets it on a scale rounds down, never above the last torque.

    Source: ASME PCC-1, table of tightening rounds: 20 to 30 %, 50 to 70 %, 100 %, then around (from memory).

    >>> from decimal import Decimal
    >>> from assistant.fastening.quantities import TorqueUnit
    >>> [str(one.torque) for one in pass_proposals(Torque(Decimal(45), TorqueUnit.NEWTON_METRE))]
    ['13.5 N·m', '31.5 N·m', '45 N·m', '45 N·m']
    """
    return tuple(
        PassProposal(share, low, high, around, None if last is None else _part(last, share))
        for share, low, high, around in _PASSES
    )


def _part(last: Torque, share: int) -> Torque:
    return Torque((last.value * share / 100).normalize(), last.unit)
