"""The tools of all bays in one list: what was done with each, where and when last, and when it is to be calibrated."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from assistant.display.office import ToolRow
from assistant.facts.inputs import Opened, Resumed, ToolFile
from assistant.fastening.calibration import Due, calibration_day, calibration_due
from assistant.fastening.tools import Adapter, ToolBox, TorqueMultiplier, TorqueWrench
from assistant.office.cards import Clicks, OfficeJobs
from assistant.procedure.format.tool_file import read_kept_tools


@dataclass(slots=True)
class _Used:
    """What was done with one tool."""

    days: list[Clicks] = field(default_factory=list)
    jobs: set[str] = field(default_factory=set)
    bays: set[str] = field(default_factory=set)
    last: tuple[int, str, str] = (0, "", "")
    """When it was used last [ms], in which bay, and for which job."""

    def add(self, job: str, one: Clicks) -> None:
        self.days.append(one)
        self.jobs.add(job)
        self.bays.add(one.bay)
        self.last = max(self.last, (one.last_ms, one.bay, job))


def tool_rows(jobs: OfficeJobs, today: date) -> list[ToolRow]:
    """Return a row for each tool that is in a bay's newest tool file or was used, the most urgent to calibrate first.

    A tool with a serial number is one tool, in whichever bays it lies; one without is one of its bay. Rehearsals move
    no tool. ``today`` is the day by which calibrations are judged.
    """
    boxes = _boxes(jobs)
    used = _used(jobs, boxes)
    rows = [_row(key, boxes, used.get(key, _Used()), today) for key in sorted({*used, *_listed(boxes)})]
    return sorted(rows, key=lambda row: (not row.due_now, row.due_on or "9", row.name))


_Key = tuple[str, str]
"""A serial number and "", or a bay and the id of a tool there."""


def _boxes(jobs: OfficeJobs) -> Mapping[str, ToolBox]:
    """Return the tools of each bay, of the tool file that a job of it took last."""
    newest: dict[str, tuple[int, ToolFile]] = {}
    for job, entry in jobs.find((Opened, Resumed)):
        fact = entry.fact
        if isinstance(fact, Opened | Resumed) and fact.tools is not None:
            bay = jobs.cards[job].info.bay
            if bay not in newest or newest[bay][0] <= entry.at_ms:
                newest[bay] = entry.at_ms, fact.tools
    read = {bay: _read(file.yaml, file.name) for bay, (_, file) in sorted(newest.items())}
    return {bay: box for bay, box in read.items() if box is not None}


@lru_cache(maxsize=256)
def _read(yaml: str, name: str) -> ToolBox | None:
    return read_kept_tools(yaml.encode(), name)


def _listed(boxes: Mapping[str, ToolBox]) -> Iterator[_Key]:
    for bay, box in boxes.items():
        for tool in _listed_in(box):
            yield _key(bay, tool.id, boxes)


def _listed_in(box: ToolBox) -> Sequence[TorqueWrench | TorqueMultiplier | Adapter]:
    return (*box.wrenches, *box.multipliers, *box.adapters)


def _key(bay: str, tool: str, boxes: Mapping[str, ToolBox]) -> _Key:
    serial = boxes[bay].serials().get(tool, "") if bay in boxes else ""
    return (serial, "") if serial else (bay, tool)


def _used(jobs: OfficeJobs, boxes: Mapping[str, ToolBox]) -> dict[_Key, _Used]:
    used: dict[_Key, _Used] = {}
    keys: dict[tuple[str, str], _Key] = {}
    for info in jobs.jobs:
        for one in () if info.rehearsal else jobs.cards[info.id].clicks:
            place = one.bay, one.tool
            key = keys.get(place) or keys.setdefault(place, _key(one.bay, one.tool, boxes))
            used.setdefault(key, _Used()).add(info.id, one)
    return used


def _row(key: _Key, boxes: Mapping[str, ToolBox], used: _Used, today: date) -> ToolRow:
    serial = key[0] if not key[1] else ""
    places = [
        (bay, tool) for bay, box in boxes.items()
        for tool in _listed_in(box)
        if (tool.serial == serial if serial else key == (bay, tool.id))
    ]  # fmt: skip
    tool = places[-1][1] if places else None
    wrench = max(
        (one for _, one in places if isinstance(one, TorqueWrench)),
        key=lambda one: one.calibrated or date.min,
        default=None,
    )
    due = _due(wrench, used, today)
    last_ms, last_bay, last_job = used.last
    return ToolRow(
        name=tool.name if tool else key[1],
        serial=serial,
        bays=tuple(sorted({bay for bay, _ in places} | used.bays)),
        clicks=sum(one.clicks for one in used.days),
        since=due.uses if due else None,
        passes=sum(one.passes for one in used.days),
        jobs=len(used.jobs),
        last_ms=last_ms,
        last_bay=last_bay,
        last_job=last_job,
        due_on=due.on.isoformat() if due and due.on else "",
        due_now=due.why if due else "",
        known=tool is not None,
    )


def _due(wrench: TorqueWrench | None, used: _Used, today: date) -> Due | None:
    if wrench is None:
        return None
    since = wrench.calibrated or date.min
    clicks = sum(one.clicks for one in used.days if calibration_day(one.day * 86_400_000) >= since)
    return calibration_due(wrench.calibrated, wrench.uses + clicks, today, wrench.months, wrench.most_uses)
