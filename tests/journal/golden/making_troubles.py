"""How the golden journal came about in which bolts break, are stripped and lost, and one is dropped."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def broken_bolts(bay: Maker) -> None:
    """Bolts are held open and put right, or left so; what was dropped is found, or not; closed with both open."""
    procedure = ROOT / "tests/typed/procedures/two-lids.yaml"
    bay.rehearse(
        procedure,
        """
        next
        next
        next
        next
        bolt two broke
        confirmed
        next
        next
        next
        count five
        confirmed
        "one broke off"
        end note
        confirmed
        dropped a bolt
        count four
        found it
        confirmed
        next
        next
        bolt two is replaced
        confirmed
        count six
        count four
        next
        bolt four is stripped
        confirmed
        bolt five is lost
        no
        bolt five is lost
        confirmed
        next
        next
        next
        bolt five is replaced
        confirmed
        next
        next
        bolt four is back in
        confirmed
        """,
        "--operator", "A. Reed, C. Hall", "--asset", "Case 3",
        begin="2026-11-21T08:00",
    )  # fmt: skip
    bay.rehearse(
        procedure,
        """
        next
        bolt four is stripped
        confirmed
        next
        skip this
        "the shop mends the thread"
        end note
        confirmed
        dropped a bolt
        next
        next
        bolt one is lost
        confirmed
        next
        found it
        no
        no
        no
        no
        "it lies in the sump"
        end note
        confirmed
        no
        "it went into the drain"
        end note
        confirmed
        no
        yes
        next
        finish job
        "the case is opened again tomorrow"
        end note
        confirmed
        """,
        "--job", "last", "--operator", "C. Hall",
        begin="2026-11-21T13:00",
    )  # fmt: skip
