"""What the bay writes about itself, and what is added to a job afterwards; the session takes no notice of it."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, ClassVar

import msgspec

from assistant.events import End, Then
from assistant.facts.base import PERSONAL, Fact, Quantity


class BayFact(Fact, frozen=True, kw_only=True):
    """A fact that no input of the session caused."""

    STANDS_ALONE: ClassVar[bool] = True


class DeviceLost(BayFact, frozen=True, kw_only=True):
    """A sound device is gone."""

    KIND = "device_lost"
    device: End


class DeviceBack(BayFact, frozen=True, kw_only=True):
    """A sound device is back."""

    KIND = "device_back"
    device: End


class HeadsetIs(StrEnum):
    """What is listened to and speaks now: a phone, another phone than before, or the bay's own devices."""

    PHONE = "phone"
    OTHER_PHONE = "other phone"
    BAY = "bay"


class HeadsetChosen(BayFact, frozen=True, kw_only=True):
    """Somebody chose at a phone what is microphone and loudspeaker from now on."""

    KIND = "headset_chosen"
    headset: HeadsetIs


class EndedBy(StrEnum):
    """Who ended the program: a person at the keyboard, the system, a terminal that was closed, or another signal."""

    CONTROL_C = "control-c"
    SHUTDOWN = "shutdown"
    CLOSED_TERMINAL = "closed terminal"
    SIGNAL = "signal"


class Interrupted(BayFact, frozen=True, kw_only=True):
    """The program was ended while the job was open."""

    KIND = "interrupted"
    by: EndedBy


class AudioKept(BayFact, frozen=True, kw_only=True):
    """The sound of an utterance was kept in ``file``."""

    KIND = "audio_kept"
    file: str


class LostWhy(StrEnum):
    """Why sound was lost: the computer has more to do than it can, the hearing stood still, or nobody knows."""

    BUSY = "busy"
    STALLED = "stalled"
    UNKNOWN = "unknown"


class SoundLost(BayFact, frozen=True, kw_only=True):
    """Sound did not reach the recogniser: pieces of 20 ms, all so far, and why."""

    KIND = "sound_lost"
    pieces: int
    why: LostWhy


class PartFailed(BayFact, frozen=True, kw_only=True):
    """A part of the program broke or gave no sign of life: the class of the exception (or Stalled), and the place.

    ``part`` is what the part calls itself: voice, speaker, loudspeaker, listener, sound_card, keyboard, page ...

    Then it was built again, another one took its place, or it was left off after the third failure in a minute.
    """

    KIND = "part_failed"
    part: str
    error: str
    at: str
    then: Then


class Corrected(BayFact, frozen=True, kw_only=True):
    """Words that correct an entry, which itself stays as it is."""

    KIND = "corrected"
    entry: int
    text: Annotated[str, PERSONAL]
    operator: Annotated[str, PERSONAL] = ""


class AnswerCollected(BayFact, frozen=True, kw_only=True):
    """The answer of a customer before it waited beside the journal (name of its file) from ``kept_ms`` until now.

    Another process worked on the job then, and has taken it in.
    """

    KIND = "answer_collected"
    note: str
    kept_ms: int


class MeterRead(BayFact, frozen=True, kw_only=True):
    """A reading of the machine's meter; ``done``: at the time of the work, ``restart``: of a new meter."""

    KIND = "meter"
    meter: Quantity
    done: bool = False
    restart: bool = False
    note: Annotated[str, PERSONAL] = ""


class SupplyUsed(BayFact, frozen=True, kw_only=True):
    """Batch and last day of use (a day, or a month) of a supply."""

    KIND = "supply_used"
    supply: str
    batch: str = ""
    expires: str = ""


class PictureKept(msgspec.Struct, frozen=True):
    """A picture as it was when the job began: the name of its file and the hash of its bytes, in hexadecimal."""

    name: str
    sha256: str


class PicturesKept(BayFact, frozen=True, kw_only=True):
    """The pictures that the steps of the job show, as far as they could be read when it began."""

    KIND = "pictures_kept"
    pictures: tuple[PictureKept, ...]


class Forgotten(BayFact, frozen=True, kw_only=True):
    """What people said was removed from so many entries."""

    KIND = "forgotten"
    entries: int
