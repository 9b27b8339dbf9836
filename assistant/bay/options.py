"""The options of the commands that run a bay, as they were typed; what is None was not given.

Each command has one class, put together from those that it shares with others. :func:`assistant.bay.job.settings_for`
takes what stands in the place of a setting; the command line declares each option once, by the name of its field.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.desk.options import TouchOptions
from assistant.kept.options import CardOptions


@dataclass(frozen=True, kw_only=True)
class WhoOptions:
    """Who works, and with which tools and shims in hand."""

    operator: str | None = None
    tools: Path | None = None
    box: Path | None = None


@dataclass(frozen=True, kw_only=True)
class SpeechOptions:
    """How the assistant speaks: a voice, words per minute, and which synthesiser."""

    voice: str | None = None
    rate: int | None = None
    synthesiser: str | None = None


@dataclass(frozen=True, kw_only=True)
class DeviceOptions:
    """The devices, by number or part of a name, and the model that hears."""

    microphone: str | None = None
    loudspeaker: str | None = None
    model: str | None = None


@dataclass(frozen=True, kw_only=True)
class SoundOptions(DeviceOptions, SpeechOptions):
    """All of the sound of a bay; ``volume`` is in decibels, 0 or less."""

    headset: bool | None = None
    volume: int | None = None


@dataclass(frozen=True, kw_only=True)
class ResumeOptions(WhoOptions, SoundOptions, TouchOptions):
    """The options of ``assistant resume``."""


@dataclass(frozen=True, kw_only=True)
class RunOptions(ResumeOptions, CardOptions):
    """The options of ``assistant run``."""

    keep_audio: bool | None = None
