"""The options of a job that is begun, as they were typed; the command line reads them before all else."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class CardOptions:
    """What a new job is opened with; ``meter_note`` says why a reading is lower than the one before."""

    asset: str = ""
    customer: str = ""
    meter: str = ""
    meter_note: str = ""
