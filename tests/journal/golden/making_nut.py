"""How the golden journal of a hub nut was made; see ``making.py``."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def hub_nut(bay: Maker) -> None:
    """Tools that are not those of the procedure, and a multiplier; a reading below zero; closed with nothing open."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/values.yaml",
        """
        next
        next
        next
        which tool
        next
        next
        next
        use pound inches
        next
        next
        use newton metres
        next
        next
        next
        next
        next
        next
        reading minus zero point zero five
        yes
        finish job
        confirmed
        """,
        begin="2026-11-20T08:00", tools=True,
    )  # fmt: skip
