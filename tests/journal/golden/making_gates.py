"""How the golden journal of gates, witnesses and amounts was made; see :mod:`tests.journal.golden.making`."""

from __future__ import annotations

from collections.abc import Callable

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def gated_tank(bay: Maker) -> None:
    """Gates held and released, witnesses at hand and not, an amount accepted, a drawing kept; closed unwitnessed."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/gated-tank.yaml",
        """
        next
        next
        next
        next
        next
        no
        skip this
        finish job
        release the gate
        (key) A. Reed
        (key) C. Moor
        "the mark is worn and the pin fits"
        end note
        confirmed
        cancel
        release the gate
        operator two
        "the mark is worn and the pin fits"
        end note
        i release it
        operator one
        i have seen it
        reading zero point four
        reading zero point two five
        next
        next
        next
        next
        filled nine
        confirmed
        "the rest is on order"
        end note
        confirmed
        no
        confirmed
        next
        release the gate
        operator two
        "it is topped up tomorrow"
        end note
        i release it
        call a witness
        operator one
        +70 s
        next
        yes
        cancel
        next
        yes
        finish job
        "the owner waits"
        end note
        confirmed
        """,
        "--operator", "A. Reed, B. Stone", "--asset", "Gearbox 2",
        begin="2026-11-23T08:00",
    )  # fmt: skip


GATES: dict[str, Callable[[Maker], None]] = {"gated-tank": gated_tank}
"""The job by the name of its file."""
