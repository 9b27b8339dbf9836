"""The options of the commands that write and preview procedures, as they were typed; what is None was not given."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.bay.options import SpeechOptions
from assistant.terminal.options import WriteOptions


@dataclass(frozen=True, kw_only=True)
class PreviewOptions(SpeechOptions, WriteOptions):
    """The options of ``assistant preview``: one ``chapter`` alone, speech into ``audio``, or ``aloud``."""

    chapter: str | None = None
    audio: Path | None = None
    aloud: bool = False
    loudspeaker: str | None = None


@dataclass(frozen=True, kw_only=True)
class ImportOptions(WriteOptions):
    """The options of ``assistant import``: one ``tab`` alone, and the ``unit`` of torques that have none."""

    tab: str | None = None
    unit: str | None = None


@dataclass(frozen=True, kw_only=True)
class RefitOptions(WriteOptions):
    """The options of ``assistant refit``: whose torques it takes, and whether it goes into the file itself."""

    programme: Path | None = None
    write: bool = False


@dataclass(frozen=True, kw_only=True)
class NewOptions(WriteOptions):
    """The options of ``assistant new``: what is given is not asked for; with ``no_questions`` nothing is."""

    title: str | None = None
    machine: str | None = None
    source: str | None = None
    revision: str | None = None
    scheme: str | None = None
    book_time: str | None = None
    persons: int | None = None
    bolts: list[str] | None = None
    spare: list[str] | None = None
    readings: list[str] | None = None
    gate: list[str] | None = None
    wait: list[str] | None = None
    amount: list[str] | None = None
    no_questions: bool = False
