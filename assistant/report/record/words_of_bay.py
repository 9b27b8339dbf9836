"""The words of facts about the bay, and about what was added afterwards."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import Then
from assistant.facts import bay
from assistant.report.record.printing import Names, prints
from assistant.report.record.values import amount_text

_HEADSETS: Mapping[bay.HeadsetIs, str] = {
    bay.HeadsetIs.PHONE: "a phone is the headset",
    bay.HeadsetIs.OTHER_PHONE: "another phone is the headset",
    bay.HeadsetIs.BAY: "the bay's own microphone and loudspeaker again",
}


@prints(bay.DeviceLost)
def _lost(fact: bay.DeviceLost, _: Names) -> str:
    return f"{fact.device} lost"


@prints(bay.DeviceBack)
def _back(fact: bay.DeviceBack, _: Names) -> str:
    return f"{fact.device} back"


@prints(bay.HeadsetChosen)
def _headset(fact: bay.HeadsetChosen, _: Names) -> str:
    return _HEADSETS[fact.headset]


@prints(bay.Interrupted)
def _interrupted(fact: bay.Interrupted, _: Names) -> str:
    return f"interrupted by {fact.by}"


@prints(bay.AudioKept)
def _audio(fact: bay.AudioKept, _: Names) -> str:
    return f"sound kept in {fact.file}"


@prints(bay.SoundLost)
def _sound_lost(fact: bay.SoundLost, _: Names) -> str:
    return f"{fact.pieces} pieces of 20 ms of sound lost"


@prints(bay.PartFailed)
def _failed(fact: bay.PartFailed, _: Names) -> str:
    return f"{fact.part.replace('_', ' ')} failed ({fact.error}): {_AFTER[fact.then]}"


_AFTER: Mapping[Then, str] = {
    Then.AGAIN: "started again",
    Then.OTHER: "another took its place",
    Then.ENDED: "it was left off",
}


@prints(bay.Corrected)
def _corrected(fact: bay.Corrected, _: Names) -> str:
    return f"correction to entry {fact.entry}: {fact.text}" + (f" (by {fact.operator})" if fact.operator else "")


@prints(bay.AnswerCollected)
def _collected(_fact: bay.AnswerCollected, _: Names) -> str:
    return "the answer before was kept at the desk, and taken in from there"


@prints(bay.MeterRead)
def _metered(fact: bay.MeterRead, _: Names) -> str:
    done = " when the work was done" if fact.done else ""
    return f"meter {amount_text(fact.meter)}{done} {fact.note}".rstrip()


@prints(bay.PicturesKept)
def _pictures(fact: bay.PicturesKept, _: Names) -> str:
    return "pictures: " + "; ".join(f"{one.name} (SHA-256 {one.sha256[:16]})" for one in fact.pictures)


@prints(bay.SupplyUsed)
def _supply(fact: bay.SupplyUsed, _: Names) -> str:
    return f"{fact.supply}: batch {fact.batch or '-'}, use by {fact.expires or '-'}"


@prints(bay.Forgotten)
def _forgotten(_fact: bay.Forgotten, _: Names) -> str:
    return "personal data removed"
