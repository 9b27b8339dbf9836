"""What a job takes from the bay's tool file into its first entry, and the clicks that the journal knows of.

Use counts are never stored: they are the count in the tool file, and the clicks that the journal has confirmed since
the day of the last calibration. So a replay, a resumed job or a copied journal cannot count a click twice.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

from assistant.fastening.calibration import calibration_day
from assistant.fastening.tools import ToolBox
from assistant.journal.port import Journal
from assistant.procedure.format.tool_file import ToolReading
from assistant.settings import home

_TIGHTENED = ("run_tightened", "bolt_tightened")
_FILE = "tools.yaml"


def tools_path(setting: str) -> Path | None:
    """Return the tool file: ``setting`` (from the data folder when it is relative), or the usual one if it is there."""
    if setting:
        return home() / Path(setting).expanduser()
    usual = home() / _FILE
    return usual if usual.exists() else None


def tool_facts(name: str, box: ToolBox, reading: ToolReading, journal: Journal) -> dict[str, Any]:
    """Return what a job keeps of the tool file ``name``: its bytes, their hash, and the clicks so far."""
    return {
        "tools_file": name,
        "tools_yaml": reading.data.decode("utf-8"),
        "tools_sha256": reading.sha256,
        "tool_clicks": clicks_since(box, journal),
    }


def clicks_since(box: ToolBox, journal: Journal) -> dict[str, int]:
    """Return the clicks [count] of each wrench that the journal holds since the day of its calibration.

    Rehearsals move no wrench and are left out.
    """
    since = {wrench.id: wrench.calibrated for wrench in box.wrenches}
    rehearsals = {job for job, opened in journal.find(("opened",)) if opened.data.get("rehearsal")}
    counted: Counter[str] = Counter()
    for job, entry in journal.find(_TIGHTENED):
        tool = entry.data.get("tool")
        if job in rehearsals or tool not in since or (since[tool] or date.min) > calibration_day(entry.at_ms):
            continue
        counted[tool] += int(entry.data.get("clicks") or 0)
    return {tool: counted[tool] for tool in sorted(counted)}
