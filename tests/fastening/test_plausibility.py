"""Is that number sane: slips are noticed and explained, and what suits passes."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.assembly import assembly_force, assembly_torque
from assistant.fastening.classes import CLASS_NAMES, COARSE_PITCHES, PropertyClass, Thread, parse_thread, property_class
from assistant.fastening.plausibility import CANNOT_CATCH, Doubt, Judgement, UsualBand, band, judge
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.fastening.units import parse_torque
from assistant.faults import Fault

KNOWN = [size for size in COARSE_PITCHES if 4 <= size <= 24 and size != 7]


def judged(text: str, size: str, name: str, *angles: int) -> Judgement:
    torque = parse_torque(text)
    assert isinstance(torque, Torque)
    found = judge(torque, size, name, [Angle(Decimal(angle), AngleUnit.DEGREE) for angle in angles])
    assert isinstance(found, Judgement), found
    return found


@pytest.mark.parametrize(
    ("text", "size", "angles", "level", "reason"),
    [
        ("10 N·m", "M6", (), Doubt.OK, None),
        ("100 N·m", "M6", (), Doubt.STOP, "decimal point may be one place too far to the right"),
        ("221 N·m", "M8", (), Doubt.STOP, "lbf·in written as N·m"),
        ("250 N·m", "M8", (), Doubt.STOP, "kgf·cm written as N·m"),
        ("36 N·m", "M10", (), Doubt.OK, None),  # 36 lbf·ft meant: cannot be noticed, and the tool says so.
        ("17 N·m", "M10", (), Doubt.WARN, "lbf·ft written as N·m"),
        ("70 N·m", "M10", (), Doubt.WARN, "suit M12"),
        ("25 N·m", "M6", (), Doubt.STOP, "suit M8"),
        ("3 N·m", "M8", (), Doubt.WARN, "suit M5"),
        # General government table (US Army TM 9-2320-362-14&P, appendix F): 14 N·m for 6 mm is above our band.
        ("14 N·m", "M6", (), Doubt.WARN, "suit M8"),
        ("54 N·m", "M10", (), Doubt.OK, None),
        ("95 N·m", "M12", (), Doubt.OK, None),
        ("5 N·m", "M10", (90, 90), Doubt.OK, None),
        ("5 N·m", "M10", (), Doubt.WARN, "suit"),
        # 390 and 780 degrees in all: the limits of 360 and 720 are ours, not published.
        ("35 N·m", "M10", (130,) * 3, Doubt.WARN, "sum"),
        ("35 N·m", "M10", (130,) * 6, Doubt.STOP, "sum"),
    ],
)
def test_slips_are_noticed_with_the_likely_reason(
    text: str, size: str, angles: tuple[int, ...], level: Doubt, reason: str | None
) -> None:
    found = judged(text, size, "8.8", *angles)
    assert found.level is level, found
    if reason is None:
        assert not found.reasons
    else:
        assert any(reason in given for given in found.reasons), found


def test_it_says_what_it_cannot_catch() -> None:
    assert "not noticed" in CANNOT_CATCH
    assert "maker's procedure" in CANNOT_CATCH


@given(st.sampled_from(KNOWN), st.sampled_from(CLASS_NAMES), st.floats(0.06, 0.25), st.floats(0.001, 0.05))
def test_more_friction_means_more_torque_and_less_force(size: float, name: str, friction: float, more: float) -> None:
    thread, strength = Thread(size, COARSE_PITCHES[size]), property_class(name, size)
    if isinstance(strength, Fault):
        return
    low, high = (assembly_force(thread, strength.yield_strength, mu) for mu in (friction, friction + more))
    assert high < low
    torques = [assembly_torque(thread, f, mu) for f, mu in ((low, friction), (high, friction + more))]
    assert torques[0] < torques[1]
    found = band(thread, name)
    assert isinstance(found, UsualBand)
    assert found.low < found.high < found.stop


def test_torque_goes_with_yield_strength() -> None:
    # ISO 898-1: 940 / 640 for sizes to M16 (from memory).
    bands = [band(Thread(10, 1.5), name) for name in ("8.8", "10.9")]
    assert bands[1].high / bands[0].high == pytest.approx(940 / 640)


@pytest.mark.parametrize("name", ["4.6", "5.6", "6.8"])
def test_the_marking_gives_the_yield_strength(name: str) -> None:
    # ISO 898-1: the product of both numbers, times 10, is the yield strength [MPa].
    found = property_class(name, 10)
    assert isinstance(found, PropertyClass)
    first, second = name.split(".")
    assert found.yield_strength == int(first) * int(second) * 10


@pytest.mark.parametrize(
    "text", ["10", "M", "m10", "M10x", "M10x5", "M10x1.4", "M11", "M10x0", "M" * 100, "1/2-20", ""]
)
def test_what_is_no_thread_gets_a_hint(text: str) -> None:
    assert isinstance(parse_thread(text), Fault)


def test_what_cannot_be_judged_says_so() -> None:
    torque = Torque(Decimal(10), TorqueUnit.NEWTON_METRE)
    for size, name, words in (
        ("M10", "7.7", "not a property class"),
        ("M20", "9.8", "not made as M20"),
        ("M30", "8.8", "No head size"),
        ("x", "8.8", "not a metric thread"),
    ):
        found = judge(torque, size, name)
        assert isinstance(found, Fault)
        assert words in found.reason


@pytest.mark.parametrize(
    ("torque", "level", "reason"),
    [
        ("31 lbf·ft", Doubt.OK, ""),
        ("372 lbf·in", Doubt.OK, ""),
        ("372 N·m", Doubt.STOP, "it may be lbf·in written as N·m"),
        ("42 lbf·ft", Doubt.WARN, "it may be N·m written as lbf·ft"),
        ("3 lbf·ft", Doubt.WARN, "the decimal point may be one place too far to the left"),
    ],
)
def test_inch_bolts_are_judged_in_the_unit_of_the_value(torque: str, level: Doubt, reason: str) -> None:
    # 3/8-16 grade 5: 31 lbf·ft is what K = 0.2 and 75 percent of the proof load give: 0.2 x 0.375 in x 0.75 x 6588 lbf
    # = 371 lbf·in (Shigley and Mischke, 5th edition: 0.0775 in² and 85 ksi).
    found = judge(parse_torque(torque), "3/8-16", "5")
    assert isinstance(found, Judgement)
    assert found.level is level
    assert found.reasons[:1] == ((reason,) if reason else ())
    assert level is Doubt.OK or f" {torque.split()[1]})" in found.reason


@pytest.mark.parametrize(
    ("torque", "thread", "level"),
    [
        # 20 to 25 lbf·in for 10-32 in tension: FAA AC 43.13-1B, table 7-1.
        ("20 lbf·in", "#10-32", Doubt.OK),
        ("25 lbf·in", "No. 10-32 UNF", Doubt.OK),
        ("20 N·m", "10-32", Doubt.STOP),
        ("2.2 N·m", "#8-32", Doubt.OK),
    ],
)
def test_screws_with_a_number_are_judged(torque: str, thread: str, level: Doubt) -> None:
    found = judge(parse_torque(torque), thread, "5")
    assert isinstance(found, Judgement)
    assert found.level is level
    assert level is Doubt.OK or found.reasons[0] == "it may be lbf·in written as N·m"


def test_a_size_a_pitch_or_a_grade_that_does_not_exist_is_named_with_those_that_do() -> None:
    for size, grade, words in (
        ("3/8-25", "5", "3/8 inch has 16, 24 or 32 threads to the inch"),
        ("11/32-20", "5", "the sizes are 1/4, 5/16"),
        ("3/8-16", "8.8", "the grades are 1, 2, 4, 5"),
        ("1-8", "2.5", "the grades are"),
        ("#10-28", "5", "number 10 has 24 or 32 threads to the inch"),
        ("#0-64", "5", "number 0 has 80 threads to the inch"),
        ("#7-32", "5", "#10, #12"),
        ("#0-80", "5", "No head size is known for #0-80"),
    ):
        found = judge(parse_torque("30 lbf·ft"), size, grade)
        assert isinstance(found, Fault)
        assert words in found.sentence
