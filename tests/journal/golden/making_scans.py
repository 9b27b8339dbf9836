"""The golden journal of a job in which codes are read."""

from __future__ import annotations

from assistant.facts.scan import CardScanned, ScanFrom
from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def scanned(bay: Maker) -> None:
    """Parts are ticked off, wrenches taken, the machine and another one looked at; some codes mean nothing."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/scanned-parts.yaml",
        """
        [scan 11111111111111111]
        [scan XA1AA1AA0AA111111]
        next
        next
        next
        [scan 9501101530003]
        next
        missing
        missing
        next
        [scan PX-1001]
        next
        next
        [scan PX-2000]
        [scan y]
        [scan 1111111111111111]
        count one
        count one
        [scan TOOL large-wrench]
        [scan TOOL large-wrench]
        [scan TOOL crowfoot]
        next
        [scan TOOL small-wrench]
        yes
        finish job
        confirmed
        """,
        "--asset", "Practice stand 1111-1111-1111-1111-1", "--operator", "D. Moss",
        begin="2026-11-27T08:00", tools=True,
    )  # fmt: skip


def scanned_card(bay: Maker) -> None:
    """A job that was begun by the code of an order."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/scanned-parts.yaml", "next",
        "--asset", "Practice stand 4", "--customer", "Row of Alders",
        begin="2026-11-27T09:00",
    )  # fmt: skip
    bay.append(CardScanned(order="WO-4711", fields=("asset", "customer"), source=ScanFrom.PAGE))


SCANS = {"scanned": scanned, "scanned-card": scanned_card}
