"""The arithmetic against figures printed elsewhere; each figure names its source and its place in handbook.yaml."""

import math
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.fastening import (
    assembly,
    calibration,
    choice,
    classes,
    inch,
    multiplier,
    orders,
    plausibility,
    tools,
    turning,
    units,
    wrench,
)

CHECKS: list[dict[str, Any]] = yaml.load((Path(__file__).parent / "handbook.yaml").read_text("utf-8"), yaml.CSafeLoader)


def _torque(text: str) -> units.Torque:
    torque = units.parse_torque(text)
    assert isinstance(torque, units.Torque), torque
    return torque


def _length(text: str) -> units.Length:
    length = units.parse_length(text)
    assert isinstance(length, units.Length), length
    return length


def _angle(text: str) -> units.Angle:
    angle = units.parse_angle(text)
    assert isinstance(angle, units.Angle), angle
    return angle


def _thread(text: str) -> classes.Thread:
    thread = classes.parse_thread(text)
    assert isinstance(thread, classes.Thread), thread
    return thread


def _inch(text: str) -> inch.InchThread:
    thread = inch.parse_any_thread(text)
    assert isinstance(thread, inch.InchThread), thread
    return thread


def _class(given: dict[str, Any]) -> classes.PropertyClass:
    found = classes.property_class(given["class"], _thread(given["thread"]).diameter)
    assert isinstance(found, classes.PropertyClass), found
    return found


def _area(given: dict[str, Any]) -> float:
    return _thread(given["thread"]).stress_area


def _adapter(given: dict[str, Any]) -> tuple[units.Length, units.Length, units.Angle]:
    angle = _angle(given["angle"]) if "angle" in given else wrench.STRAIGHT
    return _length(given["lever"]), _length(given["extension"]), angle


def _force(given: dict[str, Any]) -> float:
    return assembly.assembly_force(_thread(given["thread"]), _class(given).yield_strength, given["friction"])


def _rows(given: dict[str, Any]) -> orders.Order:
    columns = given["columns"]
    order = orders.centre_out([range(1 + row * columns, 1 + (row + 1) * columns) for row in range(given["rows"])])
    assert isinstance(order, orders.Order)
    return order


def _takes(given: dict[str, Any]) -> str:
    low, high, torque = (_torque(f"{given[key]} N·m") for key in ("low", "high", "torque"))
    tool = tools.TorqueWrench("w", "wrench", "II A", low, high, _torque("1 N·m"), calibrated=date(2026, 1, 1))
    found = choice.choices(choice.Need(torque), tools.ToolBox((tool,)), date(2026, 2, 1))
    return "yes" if isinstance(found, tuple) else "no"


def _due(given: dict[str, Any]) -> str:
    found = calibration.calibration_due(
        date.fromisoformat(given["calibrated"]), given["uses"], date.fromisoformat(given["today"])
    )
    return "yes" if found.why else "no"


CALCULATIONS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "convert": lambda g: _torque(g["torque"]).to(units.TorqueUnit(g["to"])).value,
    "setting": lambda g: wrench.setting(_torque(g["torque"]), *_adapter(g)).value,
    "applied": lambda g: wrench.applied(_torque(g["torque"]), *_adapter(g)).value,
    "final": lambda g: wrench.final_torque(_torque(g["desired"]), _torque(g["drag"])).value,
    "multiplier_input": lambda g: (
        multiplier.input_torque(_torque(g["output"]), Decimal(g["ratio"]), Decimal(g["efficiency"])).value
    ),
    "reaction": lambda g: multiplier.reaction_torque(_torque(g["output"]), _torque(g["input"])).value,
    "input_angle": lambda g: multiplier.input_angle(_angle(g["output"]), Decimal(g["gear_ratio"])).value,
    "combined_accuracy": lambda g: multiplier.combined_accuracy(map(Decimal, g["parts"])),
    "permissible": lambda g: calibration.permissible_deviation(g["kind"], _torque(g["largest"])),
    "stress_area": _area,
    "inch_stress_area": lambda g: _inch(g["thread"]).stress_area / inch.INCH**2,
    "inch_proof": lambda g: inch.strength_of(_inch(g["thread"]), g["class"]).proof / 0.006894757,
    "proof_load": lambda g: classes.proof_load(_area(g), _class(g).proof),
    # Shigley's example is in lbf and in; the module's factor of 1000 is for millimetres.
    "short_torque": lambda g: assembly.short_torque(g["factor"], g["diameter"], g["force"]) * g.get("scale", 1),
    "torque_at_proof": lambda g: assembly.short_torque(
        g["factor"], _thread(g["thread"]).diameter, g["part"] * classes.proof_load(_area(g), _class(g).proof)
    ),
    "assembly_force": lambda g: _force(g) / 1000,
    "assembly_torque": lambda g: assembly.assembly_torque(_thread(g["thread"]), _force(g), g["friction"]),
    "total_angle": lambda g: turning.total(map(_angle, g["angles"])).value,
    "cross_pattern": lambda g: orders.cross_pattern(range(1, g["bolts"] + 1)).bolts,
    "centre_out": lambda g: _rows(g).bolts,
    "wrench_takes": _takes,
    "calibration_due": _due,
    "band": lambda g: getattr(plausibility.band(_thread(g["thread"]), g["class"]), g["end"]),
}


def _tolerance(text: str, printed: str) -> float:
    """Return the tolerance of a figure: a number, a percentage of it, or half of its last digit."""
    if text.endswith("%"):
        return abs(float(printed)) * float(text.rstrip("% ")) / 100
    if text.endswith("digit"):
        exponent = Decimal(printed).as_tuple().exponent
        assert isinstance(exponent, int)
        return float(text.removesuffix("digit")) * 10.0**exponent
    return float(text)


def _name(check: dict[str, Any]) -> str:
    return f"{check['check']}-{'-'.join(str(value) for value in check['inputs'].values())}"


@pytest.mark.parametrize("check", CHECKS, ids=_name)
def test_a_printed_figure_is_met(check: dict[str, Any]) -> None:
    found = CALCULATIONS[check["check"]](check["inputs"])
    printed = check["printed"]
    if isinstance(found, tuple):
        assert " ".join(map(str, found)) == printed
    elif isinstance(found, str):
        assert found == printed
    else:
        tolerance = _tolerance(check["tolerance"], printed)
        slack = 1e-12 * max(1.0, abs(float(printed)))
        assert math.isclose(float(found), float(printed), rel_tol=0, abs_tol=tolerance + slack), (found, printed)


def test_the_handbook_has_the_checks_it_needs_and_each_names_its_source() -> None:
    assert len(CHECKS) >= 60
    assert {check["check"] for check in CHECKS} == set(CALCULATIONS)
    for check in CHECKS:
        assert check["source"]
        assert check["place"]


_READ = ("US Army TM", "US Navy NAVEDTRA", "Childs,", "NASA-STD-5020", "Shigley and Mischke, Mechanical Engineering")
"""Sources that were opened and read when the figure was written down."""


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check['check']}-{check['place']}")
def test_each_figure_says_whether_it_was_read_remembered_or_worked_out(check: dict[str, Any]) -> None:
    said = f"{check['source']}, {check['place']}"
    assert check.get("memory") or "on paper" in said or check["source"].startswith(_READ), said
    # A table is named by its standard: nobody can look up a page that is not named.
    assert not any(word in said.lower() for word in ("calculator", "reproduc", "trade", "web", "toolbox")), said
