"""How the golden journal with shims was made; see :mod:`tests.journal.golden.making`."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def shims(bay: Maker) -> None:
    """Shims are worked out, told one after the other, worked out anew after a correction, and the job goes on later."""
    procedure = ROOT / "tests/typed/procedures/shim-head.yaml"
    bay.rehearse(
        procedure,
        """
        next
        next
        next
        next
        point three
        point four
        point two one
        point four
        next
        two point five
        two point five five
        two point six
        two point six one
        two point six
        which shim now
        which shim now
        go back
        cylinder one exhaust shim again
        two point three five
        which shim now
        pause
        """,
        "--operator", "A. Reed",
        begin="2026-11-30T08:00",
    )  # fmt: skip
    bay.rehearse(
        procedure,
        """
        carry on
        which shim now
        which shim now
        which shim now
        next
        point two
        point three
        point two one
        point three one
        yes
        finish job
        confirmed
        """,
        "--job", "last",
        begin="2026-12-01T08:00",
    )  # fmt: skip
