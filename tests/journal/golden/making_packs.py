"""How the golden journal with packs of shims was made; see :mod:`tests.journal.golden.making`."""

from __future__ import annotations

from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def packs(bay: Maker) -> None:
    """Packs are worked out and put in, taken back, and the job goes on later with another list of the box."""
    procedure = ROOT / "tests/typed/procedures/shaft-packs.yaml"
    bay.rehearse(
        procedure,
        """
        next
        next
        next
        next
        reading point two
        confirmed
        which pack
        next
        reading point zero seven
        take that back
        confirmed
        take that back
        confirmed
        reading point zero eight
        pause
        """,
        "--operator", "A. Reed", "--box", str(ROOT / "tests/typed/procedures/box-of-shims.csv"),
        begin="2026-12-02T08:00",
    )  # fmt: skip
    bay.rehearse(
        procedure,
        """
        carry on
        reading four
        confirmed
        next
        reading seven
        reading point one one
        which pack
        next
        reading point five
        confirmed
        "It was read off twice"
        end note
        confirmed
        yes
        finish job
        "The drag is measured again tomorrow"
        end note
        confirmed
        """,
        "--job", "last", "--box", str(ROOT / "tests/typed/procedures/box-of-shims.csv"),
        begin="2026-12-03T08:00",
    )  # fmt: skip


def found_pack(bay: Maker) -> None:
    """The pack that is found fitted is said shim by shim, one of them is taken back, and the job goes on later."""
    procedure = ROOT / "tests/typed/procedures/shaft-packs.yaml"
    bay.rehearse(
        procedure,
        """
        next
        next
        next
        next
        fitted shim point five
        confirmed
        fitted shim point three five
        confirmed
        take that back
        confirmed
        fitted shim point three
        confirmed
        pause
        """,
        "--operator", "A. Reed",
        begin="2026-12-05T08:00",
    )  # fmt: skip
    bay.rehearse(
        procedure,
        """
        carry on
        reading point two
        confirmed
        next
        reading point zero seven
        pause
        """,
        "--job", "last",
        begin="2026-12-06T08:00",
    )  # fmt: skip


def shims_in_hand(bay: Maker) -> None:
    """Shims of valves with the uncertainty of their thickness, and with a list of the box."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/shim-head.yaml",
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
        which shims
        next
        point two
        point three
        point two one
        point three one
        yes
        finish job
        confirmed
        """,
        "--box", str(ROOT / "tests/typed/procedures/box-of-shims.csv"),
        begin="2026-12-04T08:00",
    )  # fmt: skip
