"""Golden jobs in which what was heard is not yet all: notes that are said again, and what is asked back."""

from __future__ import annotations

from assistant.facts.customer import CustomerAnsweredBefore
from assistant.facts.extra import Severity
from assistant.report.shown import shown_sha256
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


def finding_said_again(bay: Maker) -> None:
    """Findings that were confirmed are said again: for good, taken back, over an end of the program, answered."""
    bay.rehearse(
        _LID,
        """
        next
        next
        i found something
        "the seal sweeps on the left"
        end note
        only watch it
        confirmed
        correct that
        "the seal leaps on the left"
        next service
        confirmed
        correct that
        "the seal weeps on the left"
        before it runs
        confirmed
        i found something
        "a hose is dry"
        end note
        only watch it
        confirmed
        correct that
        "a hose is split"
        before it runs
        confirmed
        take that back
        confirmed
        correct that
        "a hose is worn"
        """,
        "--operator", "A. Reed",
        begin="2026-12-04T08:00",
    )  # fmt: skip
    answered = CustomerAnsweredBefore(
        work="finding:1", number=1, granted=True, price=None, at_ms=1_796_371_200_000,
        shown_sha256=shown_sha256(1, "", "the seal leaps on the left", Severity.NEXT_SERVICE, None, None),
    )  # fmt: skip
    bay.append(answered)
    bay.rehearse(
        _LID,
        """
        +1 min
        what extra work
        i found something
        "a clip is loose"
        end note
        only watch it
        confirmed
        customer grants 3
        correct that
        finish job
        "the practice ends here"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-12-04T09:00",
    )  # fmt: skip


NOTES = {"said-again": said_again, "asked-back": asked_back, "finding-said-again": finding_said_again}
