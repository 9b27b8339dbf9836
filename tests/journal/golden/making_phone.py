"""A golden job in which a phone is the headset for a while."""

from __future__ import annotations

from assistant.events import End
from assistant.facts.bay import DeviceBack, DeviceLost, HeadsetChosen, HeadsetIs
from assistant.journal.opening import open_journal
from tests.jobs import ROOT, work
from tests.journal.golden.maker import Maker


def phone_headset(bay: Maker) -> None:
    """A phone is taken as headset, lost and back; another one takes over, and gives back."""
    with open_journal(bay.home) as journal:
        work(
            journal, ROOT / "tests/typed/procedures/cure.yaml", start_s=1_795_852_800.0, operator="D. Moss",
            asset="Housing 12", procedure_path="/home/moss/cure.yaml",
        )  # fmt: skip
    bay.append(
        HeadsetChosen(headset=HeadsetIs.PHONE), DeviceLost(device=End.PHONE), DeviceBack(device=End.PHONE),
        HeadsetChosen(headset=HeadsetIs.OTHER_PHONE), HeadsetChosen(headset=HeadsetIs.BAY),
        DeviceLost(device=End.PHONE),
    )  # fmt: skip


PHONE = {"phone-headset": phone_headset}
