"""The options of the commands that print and write what the journal holds, as they were typed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from assistant.desk.options import ServeOptions
from assistant.terminal.options import WriteOptions


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, kw_only=True)
class RecordOptions(WriteOptions):
    """The options of ``assistant record``: a file for each form that is wanted, or ``out``, a folder for all."""

    html: Path | None = None
    pdf: Path | None = None
    json: Path | None = None
    csv: Path | None = None
    out: Path | None = None
    paper: Paper = Paper.A4


@dataclass(frozen=True, kw_only=True)
class ToolLabelOptions(WriteOptions):
    """The options of ``assistant label-tool``: ``size`` in mm, ``dpi`` of a picture."""

    pdf: Path | None = None
    png: Path | None = None
    size: str = "63.5x38.1"
    dpi: int = 300


@dataclass(frozen=True, kw_only=True)
class LabelOptions(ToolLabelOptions):
    """The options of ``assistant label``: what is renewed is ``part``, in place of the new parts of the job."""

    part: str = ""


@dataclass(frozen=True, kw_only=True)
class CustomerOptions(ServeOptions):
    """The options of ``assistant customer``: a link good for ``days``, a ``picture`` or a ``photo``, or their end."""

    prices: Path | None = None
    no_prices: bool = False
    days: int = 30
    picture: Path | None = None
    photo: int = 0
    work: int = 0
    no_pictures: bool = False
    revoke: bool = False


@dataclass(frozen=True, kw_only=True)
class DueOptions(WriteOptions):
    """The options of ``assistant due``: so many days count as coming, and a calendar file is written to ``ics``."""

    within: int = 60
    ics: Path | None = None
    rehearsals: bool = False
    as_json: bool = False


@dataclass(frozen=True, kw_only=True)
class HistoryOptions(WriteOptions):
    """The options of ``assistant history``: tables into ``csv``, times into ``picture``, one ``procedure`` alone."""

    csv: Path | None = None
    picture: Path | None = None
    procedure: str = ""
    rehearsals: bool = False
    as_json: bool = False
