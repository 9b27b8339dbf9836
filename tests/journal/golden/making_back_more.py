"""How the golden journals were made in which a broken bolt, and a reading of a table, are taken back."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker

_CLOSE = """
        finish job
        "the rest comes another day"
        end note
        confirmed
        """


def taken_back_trouble(bay: Maker) -> None:
    """That a bolt broke is taken back, and so is that it is in again."""
    bay.rehearse(
        ROOT / "procedures/gearbox-side-cover.yaml",
        f"""
        next
        bolt thirteen broke
        confirmed
        take that back
        confirmed
        bolt thirteen broke
        confirmed
        bolt thirteen is replaced
        confirmed
        take that back
        confirmed
        {_CLOSE}
        """,
        begin="2026-11-21T08:00", tools=True,
    )  # fmt: skip


def taken_back_table(bay: Maker) -> None:
    """A reading of a table is taken back."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/practice-heads.yaml",
        f"""
        next
        next
        point two
        take that back
        confirmed
        {_CLOSE}
        """,
        begin="2026-11-21T13:00",
    )  # fmt: skip
