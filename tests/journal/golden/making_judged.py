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


def read_joint(bay: Maker) -> None:
    """Bolts of a known joint, read off after their angle: two are beyond it, one is read again, one is left so."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/read-joint.yaml",
        """
        next
        next
        next
        next
        reading seventy
        reading thirty
        reading one hundred and forty
        reading sixty one
        reading seventy one
        reading seventy
        go back
        go back
        leave bolt three as it is
        "dry thread"
        end note
        confirmed
        leave bolt two as it is
        "looked at it"
        end note
        confirmed
        next
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-12-01T09:00",
    )  # fmt: skip


def retighten(bay: Maker) -> None:
    """A bolt goes in again, that is taken back, again, and is spent; a check moves one on early; closed in doubt."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/retighten.yaml",
        """
        next
        next
        next
        next
        count two
        count two
        next
        reading eighty
        go back
        tighten again
        confirmed
        take it back
        confirmed
        tighten again
        confirmed
        next
        reading eighty
        go back
        tighten again
        confirmed
        confirmed
        next
        reading eighty
        reading eighty
        bolt by bolt
        reading sixty
        reading seventy four
        leave bolt one as it is
        "looked at it"
        end note
        confirmed
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-12-01T10:00",
    )  # fmt: skip
