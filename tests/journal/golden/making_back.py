"""How the golden journals were made in which confirmations are taken back; see ``making.py``."""

from __future__ import annotations

from collections.abc import Callable

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker
from tests.journal.golden.making_back_more import taken_back_table, taken_back_trouble


def taken_back(bay: Maker) -> None:
    """Everything that can be taken back is, once: of the preparation, steps, timers, bolts and new ones."""
    bay.rehearse(
        ROOT / "procedures/gearbox-side-cover.yaml",
        """
        next
        missing
        missing
        take that back
        confirmed
        next
        next
        next
        next
        next
        take that back
        confirmed
        next
        confirmed
        count eleven
        confirmed
        "one was lost before"
        end note
        confirmed
        take that back
        confirmed
        take that back
        confirmed
        confirmed
        count twelve
        count two
        next
        count one
        next
        count twelve
        count two
        next
        next
        next
        one by one
        reading twenty seven
        take that back
        confirmed
        all together
        next
        take that back
        confirmed
        next
        next
        next
        next
        next
        take that back
        confirmed
        next
        tighten again
        confirmed
        take that back
        confirmed
        tighten again
        confirmed
        take that back
        cancel
        confirmed
        take that back
        confirmed
        confirmed
        next
        next
        yes
        hand over
        confirmed
        take over
        take that back
        confirmed
        yes
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed, B. Stone",
        begin="2026-11-20T08:00", tools=True,
    )  # fmt: skip


def taken_back_timers(bay: Maker) -> None:
    """A wait that was begun, and left early, is taken back."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/cure.yaml",
        """
        next
        next
        next
        next
        next
        next
        take that back
        confirmed
        next
        start timer
        take that back
        confirmed
        next
        +10 min
        next
        confirmed
        "it is warm here"
        end note
        confirmed
        take that back
        confirmed
        +20 min
        next
        yes
        finish job
        confirmed
        """,
        begin="2026-11-20T13:00",
    )  # fmt: skip


BACK: dict[str, Callable[[Maker], None]] = {
    "taken-back": taken_back,
    "taken-back-timers": taken_back_timers,
    "taken-back-trouble": taken_back_trouble,
    "taken-back-table": taken_back_table,
}
"""By the name of their file."""
