"""What a job takes from the bay's tool file into its first entry, and the clicks that the journal knows of.

Use counts are never stored: they are the count in the tool file, and the clicks that the journal has confirmed since
the day of the last calibration. So neither a job that is taken up again nor a copied journal counts a click twice.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path

from assistant.facts.inputs import Opened, ToolFile
from assistant.facts.kinds.tighten import BoltsTightened
from assistant.fastening.calibration import calibration_day
from assistant.fastening.tools import ToolBox
from assistant.files import expanded
from assistant.journal.port import Journal
from assistant.procedure.format.tool_file import ToolReading
from assistant.settings import home

_FILE = "tools.yaml"


def tools_path(setting: str) -> Path | None:
    """Return the tool file: ``setting`` (from the data folder when it is relative), or the usual one if it is there."""
    if setting:
        return home() / expanded(setting)
    usual = home() / _FILE
    return usual if usual.exists() else None


def tool_facts(name: str, box: ToolBox, reading: ToolReading, journal: Journal, job: str = "") -> ToolFile:
    """Return what ``job`` keeps of the tool file ``name``: its text, its hash, and the clicks so far in other jobs."""
    return ToolFile(name, reading.data.decode("utf-8"), reading.sha256, clicks_since(box, journal, but=job))


def clicks_since(box: ToolBox, journal: Journal, but: str = "") -> dict[str, int]:
    """Return the clicks [count] of each wrench that the journal holds since the day of its calibration.

    Rehearsals move no wrench and are left out, and so is the job ``but``: who works on it counts its clicks himself.
    """
    since = {wrench.id: wrench.calibrated for wrench in box.wrenches}
    opened = journal.find((Opened,))
    left_out = {job for job, entry in opened if isinstance(entry.fact, Opened) and entry.fact.rehearsal} | {but}
    counted: Counter[str] = Counter()
    for job, entry in journal.find((BoltsTightened,)):
        fact = entry.fact
        if not isinstance(fact, BoltsTightened) or fact.tool is None or fact.tool not in since or job in left_out:
            continue
        if (since[fact.tool] or date.min) <= calibration_day(entry.at_ms):
            counted[fact.tool] += fact.clicks
    return {tool: counted[tool] for tool in sorted(counted)}
