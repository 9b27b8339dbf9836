"""From a bay's tool file to its tools, or to findings that say what to mend. Its tables of keys are here.

What the tools can do is arithmetic, and stands in :mod:`assistant.fastening`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

from assistant.fastening.calibration import INTERVAL_MONTHS, INTERVAL_USES, permissible_deviation
from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.fastening.tools import Adapter, AngleGauge, Socket, ToolBox, TorqueMultiplier, TorqueWrench
from assistant.fastening.units import parse_torque, parse_torque_unit
from assistant.faults import Fault, quoted
from assistant.procedure.findings import Finding, Findings, ReadingRule
from assistant.procedure.format.base import Context, Given, Key
from assistant.procedure.format.codecs import ListOf, Text, Value
from assistant.procedure.format.forms import ANGLE, DATE, DIRECTION, LENGTH, TORQUE, Raw, number, whole
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.source import decode, read_bytes
from assistant.procedure.format.tree import MapNode, Node, ScalarNode, read_tree

TOOL_RULE = "tool-file"
"""The rule of every complaint about what the fields say together; its heading is in ``docs/tools.md``."""
MOST_TOOLS = 500
MULTIPLIER_ACCURACY = Decimal(4)
"""Percent, when a multiplier's maker gives none; common practice, no source."""
_DIGITS = re.compile(r"-?\d{1,12}(?:\.\d{1,12})?", re.ASCII)
_UNSPEAKABLE = re.compile(r"[^A-Za-z0-9 ,.'()-]")

_NAME = Text("name", 80)
_SCALE = Raw(
    "scale",
    {"anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string", "pattern": r"^\d"}]},
    "number in the unit of the scale",
)
_UNIT = Value(
    "torque-unit", parse_torque_unit, lambda unit: unit.value,
    {"type": "string", "examples": [unit.value for unit in TorqueUnit]}, "unit of torque, such as N·m",
    harmless=TorqueUnit.NEWTON_METRE,
)  # fmt: skip
_SCALES = ("low", "high", "graduation")
_RATIO = number("ratio", "1", "200", minimum=1, maximum=200)
_ID = must("id", _NAME, "Name by which procedures and journal refer to it; no two tools have one.")
_NAMED = (
    _ID,
    must("name", _NAME, "What it is called, as it is spoken: letters, digits, spaces, commas."),
    Key("serial", _NAME, "Number that stands on it as a bar code or QR code: a scan of that takes it."),
)


def _named(given: Given) -> None:
    """Complain about a name that cannot be said as it is written, and about an id that another tool has."""
    found = _UNSPEAKABLE.search(given["name"])
    if found:
        hint = "use letters, digits, spaces and commas, because the name is spoken"
        given.complain(given.at("name"), TOOL_RULE, f'The name has "{found[0]}" in it', hint)
    name, seen = given["id"], given.context.made.setdefault("ids", {})
    if name and name in seen:
        text = f"The id {quoted(name)} is used twice, first in line {seen[name]}"
        given.complain(given.at("id"), TOOL_RULE, text, "give every tool its own id")
    seen.setdefault(name, given.line)


def _on_scale(given: Given, key: str) -> Torque:
    """Return a torque of the scale: a bare number is in the scale's unit, a written unit must be the same one."""
    node: ScalarNode | None = given[key]
    unit: TorqueUnit = given["unit"]
    if node is None:
        return Torque(Decimal(1), unit)
    bare = _DIGITS.fullmatch(node.text.strip())
    torque = parse_torque(f"{bare[0]} {unit.value}" if bare else node.text)
    if isinstance(torque, Torque) and torque.unit is not unit:
        torque = Fault(f"{quoted(node.text)} is not in the unit of the scale", f"write it in {unit.value}")
    if isinstance(torque, Fault):
        given.complain(node, ReadingRule.UNIT, torque.reason, torque.advice)
        return Torque(Decimal(1), unit)
    return torque


def _wrench(given: Given) -> TorqueWrench:
    _named(given)
    known = given.context.findings.count
    low, high, graduation = (_on_scale(given, key) for key in _SCALES)
    if given.context.findings.count == known and all(given[key] is not None for key in _SCALES):
        if low >= high:
            hint = "write the lower end as low and the upper end as high"
            given.complain(given.at("low"), TOOL_RULE, f"The range runs from {low} to {high}", hint)
        if graduation > high:
            text = f"The graduation {graduation} is more than the range"
            given.complain(given.at("graduation"), TOOL_RULE, text, "write the step between two markings")
    permitted = permissible_deviation(given["type"], high) if given["type"] else None
    if isinstance(permitted, Fault):
        given.complain(given.at("type"), TOOL_RULE, permitted.reason, permitted.advice)
    calibrated = date.fromisoformat(given["calibrated"]) if given["calibrated"] else None
    values = given.values("unit", "calibrated", *_SCALES)
    return TorqueWrench(**values, low=low, high=high, graduation=graduation, calibrated=calibrated)


def _wrench_parts(wrench: TorqueWrench) -> Mapping[str, Any]:
    return {"calibrated": wrench.calibrated.isoformat() if wrench.calibrated else ""}


WRENCH = KeyTable(
    "wrench",
    (
        *_NAMED,
        must("type", _NAME, "Type and class as ISO 6789 names them, such as II A.", "kind"),
        must("unit", _UNIT, f"Unit of the scale, one of {', '.join(TorqueUnit)}."),
        must("low", _SCALE, "The first marking."),
        must("high", _SCALE, "The last marking."),
        must("graduation", _SCALE, "The step between two markings."),
        Key("lever", LENGTH, "Centre of the grip to centre of the drive; without it no crowfoot can be used."),
        Key("calibrated", DATE, "Day of the last calibration; without it the wrench counts as due."),
        Key("uses", whole(10000000, 0, low=0), "Clicks since then that this journal does not know of."),
        Key("months", whole(60, INTERVAL_MONTHS), "Interval of calibration in months; 12 when left out."),
        Key("most_uses", whole(100000, INTERVAL_USES), "Interval of calibration in clicks; 5000 when left out."),
        Key("deviation", number("percent", "0.01", "10", minimum=0.01, maximum=10), "Percent, from its own certificate;"
            " the permissible one of its type when left out."),
    ),
    _wrench,
    _wrench_parts,
    example="id: ..., name: ..., type: II A, unit: N·m, low: 5, high: 50, graduation: 0.5",
)  # fmt: skip


def _multiplier(given: Given) -> TorqueMultiplier:
    _named(given)
    torque, gear = given["torque_ratio"], given["gear_ratio"]
    if torque is not None and gear is not None and torque > gear:
        text = f"The torque ratio {torque} is more than the gear ratio {gear}"
        hint = "a multiplier loses torque, so its torque ratio is the smaller one"
        given.complain(given.at("torque_ratio"), TOOL_RULE, text, hint)
    return TorqueMultiplier(**given.values())


MULTIPLIER = KeyTable(
    "multiplier",
    (
        *_NAMED,
        Key("torque_ratio", _RATIO, "Torque at the bolt to torque at the wrench, with its losses; no number without it."
            ),
        Key("gear_ratio", _RATIO, "Turns of the wrench to turns of the bolt; no angle at the handle without it."),
        must("rated_output", TORQUE, "The most that it gives."),
        Key("accuracy", number("accuracy", "0.01", "25", MULTIPLIER_ACCURACY, minimum=0.01, maximum=25), "Percent; 4 "
            "when left out."),
    ),
    _multiplier,
    example="id: ..., name: ..., torque_ratio: 4.5, gear_ratio: 5, rated_output: 1300 N·m",
)  # fmt: skip


def _simple(kind: Any) -> Any:
    """Return how a tool is made whose values need nothing of each other."""

    def make(given: Given) -> Any:
        _named(given)
        return kind(**given.values())

    return make


ADAPTER: KeyTable[Adapter] = KeyTable(
    "adapter",
    (
        *_NAMED,
        must("length", LENGTH, "From the centre of the drive to the centre of the bolt."),
        Key("angle", DIRECTION, "Angle to the wrench; straight on when left out."),
    ),
    _simple(Adapter),
    example="id: ..., name: ..., length: 35 mm",
)
GAUGE: KeyTable[AngleGauge] = KeyTable(
    "angle gauge",
    (*_NAMED, must("graduation", ANGLE, "The step of its scale, such as 2°.")),
    _simple(AngleGauge),
    example="id: ..., name: ..., graduation: 2°",
)
SOCKET: KeyTable[Socket] = KeyTable(
    "socket",
    (*_NAMED, Key("size", _NAME, "As it is called, if it helps: 13 mm, T50.")),
    _simple(Socket),
    example="id: ..., name: ...",
)
TOOLS = KeyTable(
    "tool file",
    (
        Key("wrenches", ListOf(WRENCH, most=MOST_TOOLS), "Torque wrenches."),
        Key("multipliers", ListOf(MULTIPLIER, most=MOST_TOOLS), "Torque multipliers."),
        Key("adapters", ListOf(ADAPTER, most=MOST_TOOLS), "Crowfeet and lever extensions."),
        Key("gauges", ListOf(GAUGE, most=MOST_TOOLS), "Angle gauges."),
        Key("sockets", ListOf(SOCKET, most=MOST_TOOLS), "Sockets, bits and plain extension bars."),
    ),
    lambda given: ToolBox(**given.values()),
)
"""The whole format of a tool file."""


@dataclass(frozen=True, slots=True)
class ToolReading:
    """What came of reading a tool file: the tools unless something must be mended, the bytes, and their SHA-256."""

    box: ToolBox | None
    findings: tuple[Finding, ...] = ()
    data: bytes = b""

    @property
    def sha256(self) -> str:
        """Return the hash of the bytes, in hexadecimal."""
        return sha256(self.data).hexdigest()


def read_tool_file(path: Path) -> ToolReading:
    """Read and check the tool file at ``path``; a file that cannot be read is a finding too."""
    findings = Findings(str(path), what="tool")
    data = read_bytes(path, findings)
    return ToolReading(None, findings.result()) if data is None else read_tool_text(data, str(path))


def read_tool_text(data: bytes, name: str) -> ToolReading:
    """Read and check the bytes of a tool file; ``name`` is the file that findings point to."""
    box, findings = _read(data, name)
    return ToolReading(None if findings.errors else box, findings.result(), data)


def read_kept_tools(data: bytes, name: str) -> ToolBox | None:
    """Return the tools of the copy that a job keeps of its tool file, which was checked when the job took it.

    Rules that came later are not held against it; None only where a value cannot be read any more.
    """
    box, findings = _read(data, name)
    bad = [one for one in findings.result() if one.rule not in (ReadingRule.UNKNOWN_KEY, TOOL_RULE)]
    return None if bad else box


def _read(data: bytes, name: str) -> tuple[ToolBox | None, Findings]:
    findings = Findings(name, what="tool")
    text = decode(data, findings)
    tree: Node | None = None if text is None else read_tree(text, findings)
    if tree is not None and not isinstance(tree, MapNode):
        lists = ", ".join(key.name for key in TOOLS.keys)
        findings.add(tree, ReadingRule.VALUE_TYPE, "The file is not a mapping of lists", f"write lists named {lists}")
        return None, findings
    return None if tree is None else TOOLS.read(tree, "file", Context(findings)), findings
