"""How the golden journals with bolts that were judged were made; see :mod:`tests.journal.golden.making`."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def free_lengths(bay: Maker) -> None:
    """Free lengths: one far off, one too long, one too close to tell; the new one is confirmed, and all are tight."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/stretch-cap.yaml",
        """
        next
        next
        next
        reading one hundred and eighteen point two
        reading eighteen point two
        reading one hundred and eighteen point two
        reading one hundred and eighteen point four nine
        reading one hundred and nineteen
        reading one hundred and eighteen
        reading one hundred and eighteen
        reading one hundred and eighteen
        next
        confirmed
        next
        next
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-11-30T08:00",
    )  # fmt: skip


def read_bolts(bay: Maker) -> None:
    """Bolts read off after their angle: one strikes, also when it is read again, and is left as it is for a reason."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/read-bolts.yaml",
        """
        next
        next
        next
        next
        reading eighty one
        reading eighty
        reading seventy nine
        reading eighty two
        reading eighty
        reading eighty one
        reading forty eight
        how do the bolts compare
        go back
        go back
        reading fifty
        leave bolt seven as it is
        "the thread was greased"
        end note
        confirmed
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-11-30T09:00",
    )  # fmt: skip
