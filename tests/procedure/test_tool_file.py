"""The bay's tool file: each slip is named at its field, nothing makes the reader raise, and it is read back."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.fastening.tools import Adapter, AngleGauge, Socket, ToolBox, TorqueMultiplier, TorqueWrench
from assistant.procedure.format.page import tool_tables, with_tables
from assistant.procedure.format.schema import tool_schema
from assistant.procedure.format.tool_file import TOOLS, read_tool_text
from assistant.procedure.format.tree import write_tree
from tests.tools import tool_box, tool_reading
from tests.whole_jobs.talks import ROOT

BAY = (ROOT / "procedures" / "tools" / "practice-bay.yaml").read_bytes()
PAGE = (ROOT / "docs" / "tools.md").read_text("utf-8")
WRENCH: dict[str, Any] = {
    "id": "small", "name": "small wrench", "type": "II A", "unit": "N·m", "low": 5, "high": 50, "graduation": 0.5,
    "lever": "250 mm", "calibrated": "2025-09-01", "uses": 100,
}  # fmt: skip
OTHER = {**WRENCH, "id": "big", "name": "big wrench"}


@pytest.mark.parametrize(
    ("change", "rule", "words"),
    [
        ({"unit": "nm"}, "unit", "nanometre"),
        ({"low": 60}, "tool-file", "range runs from 60"),
        ({"low": 0}, "unit", "more than zero"),
        ({"low": float("nan")}, "unit", "begin with a number"),
        ({"high": float("inf")}, "unit", "begin with a number"),
        ({"high": "50 lbf·ft"}, "unit", "unit of the scale"),
        ({"high": True}, "unit", "begin with a number"),
        ({"high": None}, "value-type", "nothing after high"),
        ({"graduation": 70}, "tool-file", "more than the range"),
        ({"type": "III Z"}, "tool-file", "not a type of torque tool"),
        ({"lever": "0 mm"}, "unit", "more than zero"),
        ({"lever": 250}, "unit", "no unit"),
        ({"calibrated": "yesterday"}, "date", "year, month and day"),
        ({"uses": -1}, "number", "out of range"),
        ({"uses": "1.5"}, "number", "whole number"),
        ({"colour": "red"}, "unknown-key", "not a key of a wrench"),
        ({"id": "big"}, "tool-file", "used twice, first in line"),
        ({"name": "a/b"}, "tool-file", "the name is spoken"),
        ({"name": "w" * 81}, "text", "longer than 80"),
    ],
)
def test_a_bad_field_is_named_with_what_to_write(change: dict[str, Any], rule: str, words: str) -> None:
    lines = ",\n".join(json.dumps(one, ensure_ascii=False) for one in (OTHER, {**WRENCH, **change}))
    reading = read_tool_text(f'{{"wrenches": [\n{lines}]}}'.encode(), "t.yaml")
    assert reading.box is None
    (found,) = reading.findings
    assert (found.rule, found.line) == (rule, 3)
    assert words in found.text


@pytest.mark.parametrize(
    "given_file",
    [None, [], "tools", {"hammers": []}, {"wrenches": {}}, {"wrenches": ["x"]}, {"wrenches": [{}] * 600},
     {"multipliers": [{"id": "m", "name": "m", "torque_ratio": 5, "gear_ratio": 4, "rated_output": "9 N·m"}]},
     {"adapters": [{"id": "a", "name": "a", "length": "50 mm", "angle": "270°"}]}],
)  # fmt: skip
def test_a_file_that_is_no_tool_file_is_refused(given_file: Any) -> None:
    reading = tool_reading(given_file)
    assert reading.box is None
    assert reading.findings
    assert all(found.text.isprintable() for found in reading.findings)


def test_all_that_is_wrong_is_told_at_once() -> None:
    reading = tool_reading({"wrenches": [{}], "gauges": [{"id": "g"}], "hammers": []})
    missing = [found.text.split(":")[0] for found in reading.findings if found.rule == "missing-key"]
    wrench = [f"This wrench has no {key}" for key in ("graduation", "high", "id", "low", "name", "type", "unit")]
    assert sorted(missing) == [f"This angle gauge has no {key}" for key in ("graduation", "name")] + wrench
    assert [found.rule for found in reading.findings if "hammers" in found.text] == ["unknown-key"]


def test_two_tools_of_one_id_are_told_on_one_line_too() -> None:
    reading = tool_reading({"gauges": [{"id": "g", "name": "g", "graduation": "2°"}] * 2})
    assert [found.rule for found in reading.findings] == ["tool-file"]


json_like = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from([key.name for key in TOOLS.keys]), json_like))
def test_no_mapping_makes_the_reader_raise(given_file: Any) -> None:
    reading = tool_reading(given_file)
    assert (reading.box is None) == bool(reading.findings)


names = st.from_regex(r"[a-z][a-z0-9 ,]{0,20}[a-z0-9]", fullmatch=True).map(lambda name: " ".join(name.split()))
lengths = st.builds(Length, st.decimals("1", "300", places=2), st.sampled_from(LengthUnit))
ratios = st.none() | st.decimals("1", "9", places=2)


@st.composite
def wrenches(draw: st.DrawFn) -> TorqueWrench:
    unit = draw(st.sampled_from(TorqueUnit))
    low, high, step = (
        Torque(draw(st.decimals(first, last, places=1)), unit) for first, last in ((2, 9), (20, 90), ("0.1", 1))
    )
    return TorqueWrench(
        draw(names), draw(names), "II A", low, high, step, draw(st.none() | lengths),
        draw(st.none() | st.dates()), draw(st.integers(0, 10_000_000)), draw(st.integers(1, 60)),
        draw(st.integers(1, 100_000)), draw(st.none() | st.decimals("0.01", 10, places=2)),
    )  # fmt: skip


@st.composite
def boxes(draw: st.DrawFn) -> ToolBox:
    few = {"max_size": 2}
    torques = st.builds(Torque, st.decimals("1", "190", places=1), st.sampled_from(TorqueUnit))
    direction = st.builds(Angle, st.decimals("1", "180", places=1), st.just(AngleUnit.DEGREE))
    percent = st.decimals("0.01", 25, places=2)
    multipliers = st.builds(TorqueMultiplier, names, names, ratios, st.none() | st.just(Decimal(9)), torques, percent)
    return ToolBox(
        tuple(draw(st.lists(wrenches(), **few))),
        tuple(draw(st.lists(multipliers, **few))),
        tuple(draw(st.lists(st.builds(Adapter, names, names, lengths, direction), **few))),
        tuple(draw(st.lists(st.builds(AngleGauge, names, names, direction), **few))),
        tuple(draw(st.lists(st.builds(Socket, names, names, st.just("") | names), **few))),
    )


@given(boxes().filter(lambda box: len(box.names()) == sum(len(getattr(box, key.name)) for key in TOOLS.keys)))
def test_what_is_written_is_read_back_and_passes_in_the_schema(box: ToolBox) -> None:
    written: Any = TOOLS.write(box)
    if not written:
        return
    reading = read_tool_text(write_tree(written).encode(), "written")
    assert reading.findings == ()
    assert reading.box == box
    jsonschema.Draft202012Validator(tool_schema()).validate(written)


def test_the_practice_bay_is_read_back_and_passes_in_the_schema() -> None:
    box = read_tool_text(BAY, "bay").box
    assert box is not None
    assert tool_box(TOOLS.write(box)) == box
    assert box.wrenches[0].calibrated == date(2026, 5, 4)


def test_the_schema_refuses_slips() -> None:
    validator = jsonschema.Draft202012Validator(tool_schema())
    for slip in (
        {"hammers": []},
        {"wrenches": [{"id": "a"}]},
        {"gauges": [{"id": "g", "name": "g", "graduation": "2"}]},
    ):
        assert list(validator.iter_errors(slip)), slip


def test_the_tables_of_the_page_are_those_of_the_format() -> None:
    assert with_tables(PAGE, tool_tables()) == PAGE, "say: python -m assistant.procedure.format.page < docs/tools.md"
