"""The tool in the hand: what is chosen covers its setting, and what does not suit is said before the work."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.choice import Choice, Need, choices
from assistant.fastening.faults import Unfit
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.fastening.tool_plan import plan
from assistant.fastening.tools import ToolBox
from assistant.fastening.turning import stroke_angles
from assistant.fastening.units import parse_torque
from assistant.fastening.wrench import STRAIGHT, applied, lever_ratio, mark, setting
from assistant.faults import Fault
from assistant.language.en import bolts as said_bolts
from assistant.language.en.tools import accuracy, at_handle, tool_words, trouble
from tests import tools

TODAY = date(2026, 1, 10)
FILE: dict[str, Any] = {
    "wrenches": [
        {"id": "small", "name": "small wrench", "type": "II A", "unit": "N·m", "low": 5, "high": 50, "graduation": 0.5,
         "lever": "250 mm", "calibrated": "2025-09-01", "uses": 100},
        {"id": "big", "name": "big wrench", "type": "II A", "unit": "N·m", "low": 40, "high": 200, "graduation": 1,
         "lever": "450 mm", "calibrated": date(2025, 9, 1), "uses": 100},
        {"id": "inch", "name": "inch wrench", "type": "I B", "unit": "lbf·in", "low": 40, "high": 250, "graduation": 5,
         "calibrated": "2025-09-01"},
    ],
    "multipliers": [{"id": "x4", "name": "multiplier", "torque_ratio": 4, "gear_ratio": "4.5",
                     "rated_output": "700 N·m", "accuracy": 4}],
    "adapters": [{"id": "crow", "name": "crowfoot", "length": "50 mm"},
                 {"id": "square", "name": "crowfoot", "length": "50 mm", "angle": "90°"}],
    "gauges": [{"id": "g", "name": "angle gauge", "graduation": "2°"}],
    "sockets": [{"id": "s", "name": "socket", "size": "13 mm"}],
}  # fmt: skip


def tool_box(given: Any = FILE) -> ToolBox:
    return tools.tool_box(given)


def torque(text: str) -> Torque:
    found = parse_torque(text)
    assert isinstance(found, Torque), found
    return found


def best(need: Need, box: ToolBox | None = None) -> Choice:
    found = choices(need, box or tool_box(), TODAY)
    assert isinstance(found, tuple), found
    return found[0]


def test_the_wrench_in_whose_range_the_value_lies_well_is_taken() -> None:
    assert best(Need(torque("35 N·m"))).wrench.id == "small"
    assert best(Need(torque("120 N·m"))).wrench.id == "big"
    assert best(Need(torque("80 lbf·in"))).wrench.id == "inch"


def test_a_crowfoot_lowers_the_setting_and_is_said() -> None:
    # 40 x 250 / (250 + 50) = 33.33: US Army TM 1-1500-204-23-9, straight adapter; down to the half marking.
    found = best(Need(torque("40 N·m"), adapter="crow"))
    assert str(found.setting) == "33.0 N·m"
    assert tool_words(found, None) == [
        "Use the small wrench.",
        "Set thirty-three newton metres, the crowfoot straight.",
    ]
    assert best(Need(torque("40 N·m"), adapter="square")).setting == torque("40 N·m")


def test_drag_is_added_before_the_lever() -> None:
    # FAA AC 43.13-1B, 7-40: final = desired + drag; 36 x 250 / 300 = 30.
    found = best(Need(torque("33 N·m"), drag=torque("3 N·m"), adapter="crow"))
    assert found.setting == torque("30 N·m")
    assert found.at_bolt == torque("36 N·m")


def test_a_multiplier_is_taken_only_when_no_wrench_reaches_and_its_arm_is_named() -> None:
    found = best(Need(torque("520 N·m")))
    assert found.multiplier is not None
    assert found.setting == torque("130 N·m")
    assert found.reaction == torque("390 N·m")
    assert abs(found.accuracy - Decimal("5.6569")) < Decimal("0.0001")
    assert accuracy(found.accuracy) == "Plus or minus five point seven percent."
    stage = plan([Need(torque("520 N·m"))], tool_box(), TODAY)
    assert any("390 N·m" in warning.sentence for warning in stage.warnings)
    assert best(Need(torque("200 N·m"))).multiplier is None


def test_what_no_tool_can_do_is_said_with_the_reasons() -> None:
    too_much = choices(Need(torque("900 N·m")), tool_box(), TODAY)
    assert isinstance(too_much, Fault)
    assert "above the scale of the big wrench" in too_much.advice
    assert "over the rating of the multiplier" in too_much.advice
    too_little = choices(Need(torque("2 N·m")), tool_box(), TODAY)
    assert isinstance(too_little, Fault)
    assert "below the lowest marking of the small wrench" in too_little.advice
    assert isinstance(choices(Need(torque("20 N·m"), adapter="none"), tool_box(), TODAY), Fault)
    assert isinstance(choices(Need(torque("20 N·m")), ToolBox(), TODAY), Fault)
    coarse = choices(Need(torque("150.5 N·m"), torque("150.2 N·m"), torque("150.8 N·m")), tool_box(), TODAY)
    assert isinstance(coarse, Fault)
    assert "too coarse" in coarse.advice


def test_a_wrench_past_its_date_or_its_uses_is_avoided_and_announced() -> None:
    old = {**FILE, "wrenches": [{**FILE["wrenches"][0], "calibrated": "2025-01-10"}, FILE["wrenches"][1]]}
    assert best(Need(torque("45 N·m")), tool_box(old)).wrench.id == "big"
    stage = plan([Need(torque("20 N·m"))], tool_box(old), TODAY)
    assert "due for calibration on 2026-01-10" in stage.warnings[0].sentence
    assert trouble(stage.warnings[0]) == (
        "The small wrench is not to be trusted. It was due for calibration on the tenth of January two thousand and "
        "twenty-six, so have it checked."
    )
    worn = tool_box().with_clicks({"small": 4900})
    assert "5000 of 5000 uses" in plan([Need(torque("35 N·m"))], worn, TODAY).warnings[0].sentence


def test_tools_are_not_swapped_for_a_little_gain() -> None:
    needs = [Need(torque(f"{value} N·m")) for value in (44, 46, 44, 48, 44)]
    stage = plan(needs, tool_box(), TODAY)
    assert stage.changes == 0
    assert len({choice.wrench.id for choice in stage.choices if choice}) == 1
    mixed = plan([Need(torque("20 N·m")), Need(torque("900 N·m")), Need(torque("130 N·m"))], tool_box(), TODAY)
    assert [choice and choice.wrench.id for choice in mixed.choices] == ["small", None, "big"]
    assert len(mixed.faults) == 1
    assert mixed.changes == 1


values = st.decimals("1", "900", places=1).map(lambda value: Torque(value, TorqueUnit.NEWTON_METRE))


@given(st.lists(st.tuples(values, st.sampled_from([None, "crow", "square"])), min_size=1, max_size=12))
def test_chosen_tools_always_cover_their_setting_and_never_give_more_than_asked(needs: list[Any]) -> None:
    box = tool_box()
    stage = plan([Need(target, adapter=adapter) for target, adapter in needs], box, TODAY)
    for (target, _), choice in zip(needs, stage.choices, strict=True):
        if choice is None:
            continue
        assert choice.wrench.low <= choice.setting <= choice.wrench.high
        assert (choice.setting / choice.wrench.graduation).denominator == 1
        assert choice.at_bolt.size <= target.size * (1 + Fraction(1, 10**20))
    assert bool(stage.faults) == (None in stage.choices)


@given(st.lists(values, min_size=1, max_size=6))
def test_no_other_row_of_tools_would_have_been_cheaper(targets: list[Torque]) -> None:
    needs = [Need(target) for target in targets]
    box = tool_box()
    stage = plan(needs, box, TODAY)
    options = [found for need in needs if isinstance(found := choices(need, box, TODAY), tuple)]

    def price(row: list[Choice]) -> float:
        changes = sum(a.tools != b.tools for a, b in pairwise(row))
        return sum(choice.cost for choice in row) + 1.0 * changes

    rows: list[list[Choice]] = [[]]
    for rung in options:
        rows = [[*row, choice] for row in rows for choice in rung]
    taken = [choice for choice in stage.choices if choice is not None]
    assert price(taken) == pytest.approx(min(map(price, rows)))


lengths = st.integers(1, 1500).map(lambda value: Length(Decimal(value), LengthUnit.MILLIMETRE))


@given(values, lengths, lengths, st.integers(0, 179), st.integers(1, 180))
def test_the_setting_rises_with_the_angle_and_undoes_itself(
    target: Torque, lever: Length, extension: Length, angle: int, more: int
) -> None:
    first = Angle(Decimal(angle), AngleUnit.DEGREE)
    second = Angle(Decimal(min(180, angle + more)), AngleUnit.DEGREE)
    low, high = (setting(target, lever, extension, at) for at in (first, second))
    if isinstance(high, Fault):
        assert "reaches back" in high.reason
        return
    assert isinstance(low, Torque)
    assert low < high
    back = applied(low, lever, extension, first)
    assert isinstance(back, Torque)
    assert abs(back.value - target.value) < target.value * Decimal("1e-20")


def test_a_longer_adapter_needs_a_lower_setting_and_none_changes_nothing() -> None:
    lever, target = Length(Decimal(400), LengthUnit.MILLIMETRE), torque("100 N·m")
    found = [setting(target, lever, Length(Decimal(e), LengthUnit.MILLIMETRE)) for e in (0, 10, 50, 200)]
    assert found[0] == target
    assert all(a > b for a, b in pairwise(found))


@pytest.mark.parametrize(
    ("lever", "extension", "angle", "words"),
    [
        ("0", "50", "0", "lever is 0 mm"),
        ("-1", "50", "0", "lever is -1 mm"),
        ("400", "-50", "0", "adapter is -50 mm"),
        ("100", "120", "180", "reaches back past the hand"),
        ("100", "100", "180", "reaches back past the hand"),
        ("400", "50", "181", "stands at 181°"),
        ("400", "50", "-1", "stands at -1°"),
    ],
)
def test_an_adapter_that_makes_no_sense_is_refused(lever: str, extension: str, angle: str, words: str) -> None:
    found = lever_ratio(
        Length(Decimal(lever), LengthUnit.MILLIMETRE),
        Length(Decimal(extension), LengthUnit.MILLIMETRE),
        Angle(Decimal(angle), AngleUnit.DEGREE),
    )
    assert isinstance(found, Fault)
    assert words in found.reason


@given(
    values, st.sampled_from(["0.1", "0.5", "1", "5"]), st.decimals("0", "9", places=1), st.decimals("0", "9", places=1)
)
def test_a_marking_keeps_within_the_limits(exact: Torque, step: str, below: Decimal, above: Decimal) -> None:
    unit = TorqueUnit.NEWTON_METRE
    graduation = Torque(Decimal(step), unit)
    low, high = Torque(exact.value - below, unit), Torque(exact.value + above, unit)
    found = mark(exact, graduation, low, high)
    if isinstance(found, Torque):
        assert low <= found <= high
        assert abs(found.value - exact.value) < graduation.value


@given(st.integers(1, 3600), st.integers(1, 360))
def test_strokes_fit_the_space_and_add_up(angle: int, swing: int) -> None:
    found = stroke_angles(Angle(Decimal(angle), AngleUnit.DEGREE), Angle(Decimal(swing), AngleUnit.DEGREE))
    if isinstance(found, Fault):
        assert angle / swing > 60
        return
    assert sum(stroke.degrees for stroke in found) == angle
    assert all(0 < stroke.degrees <= swing for stroke in found)


def test_strokes_are_said() -> None:
    found = stroke_angles(Angle(Decimal(90), AngleUnit.DEGREE), Angle(Decimal(35), AngleUnit.DEGREE))
    assert isinstance(found, tuple)
    assert said_bolts.strokes(found) == "Three strokes of thirty degrees."
    assert isinstance(stroke_angles(STRAIGHT, STRAIGHT), Fault)


def test_a_multiplier_that_is_named_is_used_though_a_wrench_reaches() -> None:
    # 56 / 4 = 14, on paper; the small wrench begins at 5 N·m, the big one at 40 N·m.
    found = best(Need(torque("56 N·m"), multiplier="x4"))
    assert (found.wrench.id, found.multiplier and found.multiplier.id) == ("small", "x4")
    assert found.setting == torque("14 N·m")
    assert tool_words(found, None)[1:3] == ["Put the multiplier between.", "Rest its arm on a solid stop."]
    missing = choices(Need(torque("56 N·m"), multiplier="x5"), tool_box(), TODAY)
    assert isinstance(missing, Fault)
    assert "no multiplier x5" in missing.reason
    low = choices(Need(torque("16 N·m"), multiplier="x4"), tool_box(), TODAY)
    assert isinstance(low, Fault)
    assert "4.00 N·m is below the lowest marking of the small wrench" in low.advice


def test_without_its_ratio_a_multiplier_gives_no_number() -> None:
    unmarked = {**FILE, "multipliers": [{"id": "x", "name": "multiplier", "rated_output": "700 N·m"}]}
    box = tool_box(unmarked)
    found = choices(Need(torque("56 N·m"), multiplier="x"), box, TODAY)
    assert isinstance(found, Fault)
    assert "The torque ratio of the multiplier is not known" in found.advice
    assert isinstance(choices(Need(torque("600 N·m")), box, TODAY), Fault)
    turned = handle_angle(Angle(Decimal(40), AngleUnit.DEGREE), box.multipliers[0])
    assert isinstance(turned, Fault)
    assert turned.reason == "The gear ratio of the multiplier is not known"


@pytest.mark.parametrize(
    ("at_bolt", "said"),
    [
        # Gears of 4.5, on paper: 40 x 4.5 = 180; 25 x 4.5 = 112.5, and never further than meant.
        ("40", "One hundred and eighty degrees at the handle."),
        ("25", "One hundred and twelve degrees at the handle."),
    ],
)
def test_an_angle_through_a_multiplier_is_said_for_bolt_and_handle(at_bolt: str, said: str) -> None:
    angle = Angle(Decimal(at_bolt), AngleUnit.DEGREE)
    turned = handle_angle(angle, tool_box().multipliers[0])
    assert isinstance(turned, Angle)
    words = at_handle(angle, turned)
    assert words[0] == "A further angle."
    assert words[2] == said


def test_another_unit_of_speech_changes_no_setting() -> None:
    # 56 N·m through 4 is 14 N·m, on paper; into pound-inches and back, a rounded last digit would cost a marking.
    need = Need(torque("56 N·m"), multiplier="x4", unit=TorqueUnit.POUND_INCH)
    box = tool_box({**FILE, "wrenches": FILE["wrenches"][:2]})
    assert best(need, box).setting == torque("14 N·m")


def test_faults_are_said_with_rounded_values() -> None:
    fault = choices(Need(torque("300 N·m").to(TorqueUnit.POUND_INCH)), tool_box({"wrenches": FILE["wrenches"]}), TODAY)
    assert isinstance(fault, Unfit)
    # 300 N·m are 2655.22 lbf·in (NIST SP 811, B.8, from memory).
    said = trouble(replace(fault, reasons=()))
    assert said == "No tool here gives two thousand six hundred and fifty-five point two pound-inches."
