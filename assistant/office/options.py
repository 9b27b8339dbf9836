"""The options of the commands of the office, as they were typed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.desk.options import ServeOptions


@dataclass(frozen=True, kw_only=True)
class CentralOptions:
    """Where the central store is, and the file with the token; as in the settings when they are left out."""

    central: str = ""
    token: Path | None = None


@dataclass(frozen=True, kw_only=True)
class ExportOptions(CentralOptions):
    """Which table, in which form, and whether a file that is there may be replaced."""

    what: str = "jobs"
    form: str = "csv"
    force: bool = False


@dataclass(frozen=True, kw_only=True)
class OfficeOptions(ServeOptions, CentralOptions):
    """Where the store is, and where its pages are served."""
