"""The bay's tools as tables: what they can do, when they were calibrated, and how often the wrenches have clicked."""

from __future__ import annotations

import time
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

from assistant.bay.job import read_tools_or_refuse, settings_for
from assistant.bay.refusing import guarded
from assistant.fastening.calibration import calibration_day
from assistant.fastening.tools import Adapter, ToolBox, TorqueWrench
from assistant.journal.opening import journal_is_there, open_journal
from assistant.kept.tool_facts import clicks_since, tools_path
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import objects, print_json, table


def print_tools(file: Path | None, *, as_json: bool = False) -> Exit:
    """Print the tools in ``file``, or those of this bay, with what the journal knows about them."""
    return guarded(lambda: _tools(file, as_json=as_json))


def _tools(file: Path | None, *, as_json: bool) -> Exit:
    path = file or tools_path(settings_for({}).tools)
    if path is None:
        usual = home() / "tools.yaml"
        raise Refusal(f"This bay has no tool file; write one to {usual}, or name one: assistant tools FILE", Exit.USAGE)
    box, _ = read_tools_or_refuse(path)
    clicks = _clicks(box)
    today = calibration_day(round(time.time() * 1000))
    if as_json:
        print_json({title: objects(head, rows) for title, head, rows in _tables(box, clicks, today)})
    else:
        print(tools_text(box, clicks, today))
    return Exit.OK


def _clicks(box: ToolBox) -> dict[str, int]:
    if not journal_is_there(home()):
        return {}
    with open_journal(home(), read_only=True) as journal:
        return clicks_since(box, journal)


def tools_text(box: ToolBox, clicks: dict[str, int], today: date) -> str:
    """Return the tools of ``box`` as tables, with ``clicks`` by wrench from the journal, on the day ``today``."""
    return "\n\n".join(f"{title}\n{table(head, rows)}" for title, head, rows in _tables(box, clicks, today) if rows)


_Table = tuple[str, Sequence[str], Sequence[Sequence[str]]]


def _tables(box: ToolBox, clicks: dict[str, int], today: date) -> list[_Table]:
    """Return title, head and rows of the table of each kind of tool."""
    wrenches = [_wrench(tool, clicks.get(tool.id, 0), today) for tool in box.with_clicks(clicks).wrenches]
    head = ("wrench", "name", "type", "scale", "step", "lever", "off by", "uses", "journal", "calibrate", "state")
    multipliers = [
        (
            one.id,
            one.name,
            str(one.torque_ratio or "not known"),
            str(one.gear_ratio or "not known"),
            str(one.rated_output),
            _percent(one.accuracy),
        )
        for one in box.multipliers
    ]
    return [
        ("Torque wrenches", head, wrenches),
        ("Multipliers", ("multiplier", "name", "torque ratio", "gear ratio", "rated output", "off by"), multipliers),
        ("Crowfeet and extensions", ("adapter", "name", "length", "angle"), [*map(_adapter, box.adapters)]),
        ("Angle gauges", ("gauge", "name", "step"), [(one.id, one.name, str(one.graduation)) for one in box.gauges]),
        ("Sockets and bits", ("socket", "name", "size"), [(one.id, one.name, one.size) for one in box.sockets]),
    ]


def _wrench(tool: TorqueWrench, clicks: int, today: date) -> tuple[str, ...]:
    """Return one line; ``tool`` has the ``clicks`` of the journal in its uses."""
    due = tool.due(today)
    return (
        tool.id,
        tool.name,
        tool.kind,
        f"{tool.low.value:f} to {tool.high}",
        f"{tool.graduation.value:f}",
        str(tool.lever) if tool.lever else "-",
        _percent(tool.accuracy),
        f"{tool.uses} of {tool.most_uses}",
        str(clicks),
        due.on.isoformat() if due.on else "-",
        f"DUE: {due.why}" if due.why else "good",
    )


def _percent(value: Decimal) -> str:
    return f"±{value:f} %"


def _adapter(tool: Adapter) -> tuple[str, ...]:
    return (tool.id, tool.name, str(tool.length), str(tool.angle))
