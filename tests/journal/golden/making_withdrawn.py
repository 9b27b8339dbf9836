"""The golden journal of a job whose procedure was withdrawn from the library."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker
from tests.workshop.copies import copy_of

_CHECK = ROOT / "tests/procedure/good/bench-check.yaml"


def withdrawn(bay: Maker) -> None:
    """Nobody insists at first, then somebody does; the job is taken up again on another day."""
    copy_of(bay.home, [_CHECK], {("bench-check", "1"): "the second torque is wrong"})
    bay.rehearse(
        _CHECK,
        """
        cancel
        next
        confirmed
        next
        pause
        """,
        "--operator", "D. Moss",
        begin="2026-12-01T14:00",
    )  # fmt: skip
    bay.rehearse(_CHECK, "carry on", "--job", "last", begin="2026-12-02T08:00")


WITHDRAWN = {"withdrawn": withdrawn}
