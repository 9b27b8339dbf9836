"""What the bay writes about itself, and what is added to a job afterwards; the session takes no notice of it."""

from __future__ import annotations

from typing import Annotated, ClassVar

from assistant.facts.base import PERSONAL, Fact, Quantity


class BayFact(Fact, frozen=True, kw_only=True):
    """A fact that no input of the session caused."""

    STANDS_ALONE: ClassVar[bool] = True


class DeviceLost(BayFact, frozen=True, kw_only=True):
    """A sound device is gone: microphone or loudspeaker."""

    KIND = "device_lost"
    device: str


class DeviceBack(BayFact, frozen=True, kw_only=True):
    """A sound device is back."""

    KIND = "device_back"
    device: str


class Interrupted(BayFact, frozen=True, kw_only=True):
    """The program was ended: by a key, a signal, or the end of a rehearsal."""

    KIND = "interrupted"
    by: str


class AudioKept(BayFact, frozen=True, kw_only=True):
    """The sound of an utterance was kept in ``file``."""

    KIND = "audio_kept"
    file: str


class SoundLost(BayFact, frozen=True, kw_only=True):
    """Sound did not reach the recogniser: pieces of 20 ms, all so far, and why.

    ``why``: busy (the computer has more to do than it can), stalled (the hearing stood still) or unknown.
    """

    KIND = "sound_lost"
    pieces: int
    why: str


class PartFailed(BayFact, frozen=True, kw_only=True):
    """A part of the program broke or gave no sign of life: the class of the exception (or Stalled), and the place.

    ``then``: built_again, other_way (another voice) or ended (left off after the third failure in a minute).
    """

    KIND = "part_failed"
    part: str
    error: str
    at: str
    then: str


class Corrected(BayFact, frozen=True, kw_only=True):
    """Words that correct an entry, which itself stays as it is."""

    KIND = "corrected"
    entry: int
    text: Annotated[str, PERSONAL]
    operator: Annotated[str, PERSONAL] = ""


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


class Forgotten(BayFact, frozen=True, kw_only=True):
    """What people said was removed from so many entries."""

    KIND = "forgotten"
    entries: int
