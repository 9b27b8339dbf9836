"""The options of the commands about hearing, as they were typed; what is None was not given."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.bay.options import DeviceOptions


@dataclass(frozen=True, kw_only=True)
class MicCheckOptions(DeviceOptions):
    """The options of ``assistant mic-check``; ``store`` writes down what was found out about the devices."""

    volume: int | None = None
    store: bool = True


@dataclass(frozen=True, kw_only=True)
class VoiceOptions(DeviceOptions):
    """The options of ``assistant voice``: a list of recordings in place of the microphone, or what else is wanted."""

    recordings: Path | None = None
    list: bool = False
    forget: bool = False


@dataclass(frozen=True, kw_only=True)
class HearingOptions(DeviceOptions):
    """The options of ``assistant test-hearing``.

    ``closed`` and ``words`` are lists parted by commas, empty for the phrases; ``snr`` is one of levels over the
    ``noise`` [dB]. ``limit`` takes only so many recordings, ``record`` makes the list.
    """

    noise: Path | None = None
    snr: str = ""
    closed: str = ""
    words: str = ""
    phrases: bool = False
    limit: int = 0
    negatives: Path | None = None
    json: Path | None = None
    picture: Path | None = None
    record: bool = False
