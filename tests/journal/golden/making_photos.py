"""A golden journal of photos. All names are invented, and a drawing stands in for each photo."""

from __future__ import annotations

from assistant.facts.photos import PhotoFailed, PhotoFault
from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def photographed(bay: Maker) -> None:
    """Photos that are asked for, demanded, dropped and taken back, left out for a reason, and lacking at the end."""
    procedure = ROOT / "tests/typed/procedures/photographed.yaml"
    bay.rehearse(
        procedure,
        """
        next
        photo
        count four
        next
        take a photo
        remove the photo
        confirmed
        photo
        next
        yes
        no photo
        "the lamp is broken"
        end note
        confirmed
        next
        take that back
        confirmed
        photo
        next
        """,
        "--operator", "N. Brook, T. Hale",
        begin="2026-11-27T09:00",
    )  # fmt: skip
    bay.append(PhotoFailed(why=PhotoFault.CAMERA))
    bay.rehearse(
        procedure,
        """
        next
        photo
        take that back
        confirmed
        hand over
        confirmed
        take over
        photo
        count four
        yes
        finish job
        "the rest comes tomorrow"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-11-27T09:30",
    )  # fmt: skip


PHOTOS = {"photographed": photographed}
