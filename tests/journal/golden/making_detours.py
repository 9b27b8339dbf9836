"""How the golden journal with detours was made; see ``making``."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def lid_around(bay: Maker) -> None:
    """A job with a cure: somebody goes to named steps, past a hazard, is kept from others, and works meanwhile."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/waiting-lid.yaml",
        """
        go to step nine
        next
        next
        next
        next
        next
        go to tightening
        yes
        next
        go to around it
        (after 1 s) confirmed
        confirmed
        back to where i was
        confirmed
        next
        go back two
        back to where i was
        next
        count four
        next
        count one
        next
        next
        count four
        next
        what may i do meanwhile
        go to step sixteen
        yes
        go to step fifteen
        +31 min
        back to where i was
        next
        next
        yes
        next
        next
        next
        yes
        yes
        next
        finish job
        "the label comes later"
        end note
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-11-27T09:00",
    )  # fmt: skip
