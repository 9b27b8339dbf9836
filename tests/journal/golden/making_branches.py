"""The golden job with branches, extra work and findings."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def lid_and_rail(bay: Maker) -> None:
    """Branches that open, are shut again, come again, stop and end; extra work and findings in all their states."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/lid-and-rail.yaml",
        """
        next
        next
        next
        next
        ask later
        no
        confirmed
        go back
        yes
        go back
        no
        confirmed
        next
        next
        count one
        yes
        yes
        reading point zero five
        confirmed
        next
        skip this
        "the foreman wants it so"
        end note
        confirmed
        go back
        go back
        go back
        reading point five
        confirmed
        yes
        cancel
        ask later
        extra work one is granted
        (key) Rosa Vale
        in person
        confirmed
        start extra work one
        next
        next
        count one
        i found something
        "the seal weeps on the left"
        end note
        it is at step two
        before it runs
        confirmed
        extra work three is granted
        the customer
        by telephone
        confirmed
        extra work three is done
        confirmed
        i found something
        "a loose clip"
        end note
        +2 min
        extra work four declined
        confirmed
        i found something
        "a scratch on the lid"
        end note
        only watch it
        confirmed
        finish job
        "the practice ends here"
        end note
        confirmed
        """,
        begin="2026-11-28T08:00",
    )  # fmt: skip
