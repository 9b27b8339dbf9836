"""Reading the tools of a bay from plain mappings, as a YAML file gives them. Reads no file itself.

Every complaint names the place in the mapping (so that the caller can find the line), what is wrong and what to write.
All complaints come at once.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from math import isnan
from typing import Any, TypeVar

from assistant.fastening.calibration import INTERVAL_MONTHS, INTERVAL_USES, permissible_deviation
from assistant.fastening.tools import Adapter, AngleGauge, Socket, ToolBox, TorqueMultiplier, TorqueWrench
from assistant.fastening.units import (
    Angle,
    Length,
    Torque,
    TorqueUnit,
    parse_angle,
    parse_length,
    parse_torque,
    parse_torque_unit,
)
from assistant.fastening.wrench import STRAIGHT
from assistant.faults import Fault, quoted

T = TypeVar("T")
Place = tuple[str | int, ...]
MOST_TOOLS = 500
_DIGITS = re.compile(r"-?\d{1,12}(?:\.\d{1,12})?", re.ASCII)
"""A number in plain digits: an exponent would let twenty letters stand for a number of a billion digits."""
MULTIPLIER_ACCURACY = Decimal(4)
"""Percent, when a multiplier's maker gives none; common practice, no source."""


@dataclass(frozen=True, slots=True)
class ToolFault(Fault):
    """A fault and its ``place``: keys and list positions (0 is the first) from the top of the file.

    ``stand_in`` says that the value could not be read, and another one stands in its place.
    """

    place: Place = ()
    stand_in: bool = False

    @property
    def where(self) -> str:
        """Return the place as a person writes it, for example ``wrenches, entry 2, high``."""
        return ", ".join(f"entry {part + 1}" if isinstance(part, int) else part for part in self.place)


class _Fields:
    """The fields of one tool. Missing or bad ones are noted in ``faults`` and come out as a stand-in."""

    def __init__(self, given: object, place: Place, faults: list[ToolFault]) -> None:
        self.place, self.faults = place, faults
        self.asked: set[str] = set()
        if isinstance(given, Mapping):
            self.given: Mapping[Any, Any] = given
        else:
            self.given = {}
            self.fault("A tool is not a mapping", "write its fields as key: value lines", stand_in=True)

    def fault(self, problem: str, hint: str, *more: str | int, stand_in: bool = False) -> None:
        self.faults.append(ToolFault(problem, hint, (*self.place, *more), stand_in))

    def read(self, key: str, parse: Callable[[str], T | Fault], instead: T, *, needed: bool = True) -> T:
        """Read one field through ``parse``; ``instead`` is taken when it may be missing, and after a fault."""
        self.asked.add(key)
        value = self.given.get(key)
        if value is None:
            if needed:
                self.fault(f'The field "{key}" is missing', "add it", key, stand_in=True)
            return instead
        if isinstance(value, bool | list | dict) or (isinstance(value, float) and isnan(value)):
            self.fault(f'The field "{key}" is not a plain value', "write one text or number", key, stand_in=True)
            return instead
        if isinstance(value, date | datetime):
            value = value.isoformat()
        found = parse(str(value))
        if isinstance(found, Fault):
            self.fault(found.reason, found.advice, key, stand_in=True)
            return instead
        return found

    def end(self, tool: T) -> T:
        """Complain about every field that nobody asked for."""
        for key in self.given:
            if key not in self.asked:
                known = ", ".join(sorted(self.asked))
                self.fault(f"{quoted(str(key))} is not a field of this tool", f"the fields are {known}", str(key))
        return tool


def _text(text: str) -> str | Fault:
    stripped = text.strip()
    if not stripped or len(stripped) > 80 or not stripped.isprintable():
        return Fault(f"{quoted(text)} is not a name", "write one to eighty letters on one line")
    return stripped


def _between(low: Decimal, high: Decimal, *, whole: bool = False) -> Callable[[str], Decimal | Fault]:
    def parse(text: str) -> Decimal | Fault:
        hint = f"write a {'whole ' if whole else ''}number from {low:f} to {high:f}"
        if _DIGITS.fullmatch(text.strip()) is None:
            return Fault(f"{quoted(text)} is not a number in plain digits", hint)
        value = Decimal(text.strip())
        if not low <= value <= high or (whole and value % 1):
            return Fault(f"{quoted(text)} cannot be", hint)
        return value

    return parse


def _date(text: str) -> date | Fault:
    try:
        return date.fromisoformat(text.strip()[:10])
    except ValueError:
        return Fault(f"{quoted(text)} is not a date", "write it as year-month-day, for example 2025-03-31")


def _scale(unit: TorqueUnit) -> Callable[[str], Torque | Fault]:
    """Read a torque of the scale: a bare number is in the scale's unit, a written unit must be the same one."""

    def parse(text: str) -> Torque | Fault:
        bare = _DIGITS.fullmatch(text.strip())
        torque = parse_torque(f"{bare[0]} {unit.value}" if bare else text)
        if isinstance(torque, Fault):
            return torque
        if torque.unit is not unit:
            return Fault(f"{quoted(text)} is not in the unit of the scale", f"write it in {unit.value}")
        return torque

    return parse


def _wrench(fields: _Fields) -> TorqueWrench:
    unit = fields.read("unit", parse_torque_unit, TorqueUnit.NEWTON_METRE)
    stand_in = Torque(Decimal(1), unit)
    known = len(fields.faults)
    low = fields.read("low", _scale(unit), stand_in)
    high = fields.read("high", _scale(unit), stand_in)
    graduation = fields.read("graduation", _scale(unit), stand_in)
    if len(fields.faults) == known:
        if low >= high:
            fields.fault(
                f"The range runs from {low} to {high}", "write the lower end as low and the upper end as high", "low"
            )
        if graduation > high:
            fields.fault(
                f"The graduation {graduation} is more than the range",
                "write the step between two markings",
                "graduation",
            )
    kind = fields.read("type", _text, "II A")
    permitted = permissible_deviation(kind, high)
    if isinstance(permitted, Fault):
        fields.fault(permitted.reason, permitted.advice, "type")
    return fields.end(
        TorqueWrench(
            id=fields.read("id", _text, "?"),
            name=fields.read("name", _text, "?"),
            kind=kind,
            low=low,
            high=high,
            graduation=graduation,
            lever=fields.read("lever", _optional(parse_length), None, needed=False),
            calibrated=fields.read("calibrated", _optional(_date), None, needed=False),
            uses=int(
                fields.read("uses", _between(Decimal(0), Decimal(10_000_000), whole=True), Decimal(0), needed=False)
            ),
            months=int(
                fields.read(
                    "months", _between(Decimal(1), Decimal(60), whole=True), Decimal(INTERVAL_MONTHS), needed=False
                )
            ),
            most_uses=int(
                fields.read(
                    "most_uses",
                    _between(Decimal(1), Decimal(100_000), whole=True),
                    Decimal(INTERVAL_USES),
                    needed=False,
                )
            ),
            deviation=fields.read("deviation", _optional(_between(Decimal("0.01"), Decimal(10))), None, needed=False),
        )
    )


def _optional(parse: Callable[[str], T | Fault]) -> Callable[[str], T | Fault | None]:
    return parse


def _multiplier(fields: _Fields) -> TorqueMultiplier:
    ratio = _between(Decimal(1), Decimal(200))
    one = Torque(Decimal(1), TorqueUnit.NEWTON_METRE)
    tool = TorqueMultiplier(
        id=fields.read("id", _text, "?"),
        name=fields.read("name", _text, "?"),
        torque_ratio=fields.read("torque_ratio", _optional(ratio), None, needed=False),
        gear_ratio=fields.read("gear_ratio", _optional(ratio), None, needed=False),
        rated_output=fields.read("rated_output", parse_torque, one),
        accuracy=fields.read("accuracy", _between(Decimal("0.01"), Decimal(25)), MULTIPLIER_ACCURACY, needed=False),
    )
    if tool.torque_ratio is not None and tool.gear_ratio is not None and tool.torque_ratio > tool.gear_ratio:
        fields.fault(
            f"The torque ratio {tool.torque_ratio} is more than the gear ratio {tool.gear_ratio}",
            "a multiplier loses torque, so its torque ratio is the smaller one",
            "torque_ratio",
        )
    return fields.end(tool)


def _angle(text: str) -> Angle | Fault:
    """Read the angle of an adapter: 0 to 180 degrees, zero included."""
    if text.strip().rstrip("°").strip() in {"0", "0 deg", "0 degrees", "straight"}:
        return STRAIGHT
    angle = parse_angle(text)
    if isinstance(angle, Angle) and angle.degrees > 180:
        return Fault(
            f"{quoted(text)} is more than 180°", "give 0° for straight, 90° for square, 180° for pointing back"
        )
    return angle


def _adapter(fields: _Fields) -> Adapter:
    from_drive: Length | Fault = parse_length("1 mm")
    assert isinstance(from_drive, Length)
    return fields.end(
        Adapter(
            id=fields.read("id", _text, "?"),
            name=fields.read("name", _text, "?"),
            length=fields.read("length", parse_length, from_drive),
            angle=fields.read("angle", _angle, STRAIGHT, needed=False),
        )
    )


def _gauge(fields: _Fields) -> AngleGauge:
    return fields.end(
        AngleGauge(
            id=fields.read("id", _text, "?"),
            name=fields.read("name", _text, "?"),
            graduation=fields.read("graduation", parse_angle, STRAIGHT),
        )
    )


def _socket(fields: _Fields) -> Socket:
    return fields.end(
        Socket(
            id=fields.read("id", _text, "?"),
            name=fields.read("name", _text, "?"),
            size=fields.read("size", _text, "", needed=False),
        )
    )


_LISTS = ("wrenches", "multipliers", "adapters", "gauges", "sockets")


def read_tools(given: object) -> tuple[ToolBox, tuple[ToolFault, ...]]:
    """Return the tools in ``given`` [mapping of lists], and every fault; with faults the box must not be used.

    The lists are wrenches, multipliers, adapters, gauges and sockets. A range and a graduation are numbers in the
    wrench's ``unit``; lengths, angles and a multiplier's rating are written with their units.

    Source: ours; the classes of wrenches are those of ISO 6789-1:2017 (from memory).

    >>> box, faults = read_tools({"wrenches": [{"id": "w", "name": "small wrench", "type": "II A", "unit": "N·m",
    ...     "low": 5, "high": 50, "graduation": 0.5}]})
    >>> str(box.wrenches[0].high), faults
    ('50 N·m', ())
    """
    faults: list[ToolFault] = []
    if not isinstance(given, Mapping):
        hint = f"write lists named {', '.join(_LISTS)}"
        return ToolBox(), (ToolFault("The tools are not a mapping of lists", hint, stand_in=True),)
    faults += [
        ToolFault(f"{quoted(str(key))} is not a list of tools", f"the lists are {', '.join(_LISTS)}", (str(key),))
        for key in given
        if key not in _LISTS
    ]
    seen: dict[str, str] = {}

    def read(key: str, make: Callable[[_Fields], T]) -> tuple[T, ...]:
        entries = given.get(key)
        if entries is None:
            return ()
        if not isinstance(entries, list | tuple):
            faults.append(ToolFault(f'"{key}" is not a list', "begin each tool with a dash", (key,), stand_in=True))
            return ()
        if len(entries) > MOST_TOOLS:
            hint = f"the most is {MOST_TOOLS}"
            faults.append(ToolFault(f'"{key}" has {len(entries)} entries', hint, (key,), stand_in=True))
            return ()
        tools = []
        for position, entry in enumerate(entries):
            fields = _Fields(entry, (key, position), faults)
            tools.append(make(fields))
            name = str(fields.given.get("id", "")).strip()
            if name and name in seen:
                fields.fault(
                    f"The id {quoted(name)} is used twice, first in {seen[name]}", "give every tool its own id", "id"
                )
            seen.setdefault(name, key)
        return tuple(tools)

    box = ToolBox(
        read("wrenches", _wrench),
        read("multipliers", _multiplier),
        read("adapters", _adapter),
        read("gauges", _gauge),
        read("sockets", _socket),
    )
    return box, tuple(faults)
