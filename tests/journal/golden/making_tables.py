"""How the golden journals with tables of readings were made; see :mod:`tests.journal.golden.making`."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def table(bay: Maker) -> None:
    """Tables of readings: far off, corrected by name, left out, out of limits and taken; a block of steps in part."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/practice-heads.yaml",
        """
        next
        next
        point two
        point three
        reading one point five
        point two
        point two six
        point one one
        point three six
        cylinder two intake again
        point two one
        skip this
        "the plug is in the way"
        end note
        confirmed
        point three
        point two
        point three
        pause
        +2 min
        carry on
        reading one point five
        confirmed
        go back
        point three
        cylinder six intake again
        point two
        point three
        next
        "no shim of that size is here"
        end note
        confirmed
        next
        next
        two
        nine
        next
        next
        next
        finish job
        "the second wheel is for tomorrow"
        end note
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-11-28T08:00",
    )  # fmt: skip
