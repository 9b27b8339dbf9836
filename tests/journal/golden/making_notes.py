"""Golden jobs in which what was heard is not yet all: notes that are said again, and what is asked back."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker

_LID = ROOT / "tests/typed/procedures/lid-and-rail.yaml"


def said_again(bay: Maker) -> None:
    """A note is corrected twice, the second time for nothing; a problem over an end of the program; then all else."""
    bay.rehearse(
        _LID,
        """
        next
        next
        take a note
        "the gas kit was blued"
        end note
        correct that
        "the gasket was glued"
        correct that
        "the gasket was blue"
        take that back
        confirmed
        problem
        "a stud is bent"
        end note
        correct that
        """,
        "--operator", "A. Reed",
        begin="2026-12-02T08:00",
    )  # fmt: skip
    bay.rehearse(
        _LID,
        """
        correct that
        "a stud is broken"
        i found something
        "the seal sweeps"
        end note
        correct that
        "the seal weeps"
        next service
        confirmed
        finish job
        "the clip is ours"
        end note
        correct that
        "the kit is ours"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-12-02T09:00",
    )  # fmt: skip


def asked_back(bay: Maker) -> None:
    """What was not heard surely is asked back: meant, not meant, said once more, and over an end of the program."""
    bay.rehearse(
        _LID,
        """
        (unsure) next
        yes
        (unsure) next
        no
        (unsure) next
        (unsure) next
        (unsure) next
        """,
        "--operator", "A. Reed",
        begin="2026-12-03T08:00",
    )  # fmt: skip
    bay.rehearse(
        _LID,
        """
        where am i
        (unsure) next
        yes
        finish job
        "the clip is ours"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-12-03T09:00",
    )  # fmt: skip


NOTES = {"said-again": said_again, "asked-back": asked_back}
