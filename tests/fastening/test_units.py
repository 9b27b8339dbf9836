"""Quantities: exact factors, no mixing, and text that people really write."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.fastening.units import parse_angle, parse_length, parse_torque, parse_torque_unit
from assistant.faults import Fault

NM, LBF_FT, LBF_IN = TorqueUnit.NEWTON_METRE, TorqueUnit.POUND_FOOT, TorqueUnit.POUND_INCH
values = st.decimals("0.001", "1999", places=3, allow_nan=False)
torques = st.builds(Torque, values, st.sampled_from(TorqueUnit))


@given(torques, st.sampled_from(TorqueUnit))
def test_a_torque_comes_back_from_any_unit_as_it_was(torque: Torque, unit: TorqueUnit) -> None:
    back = torque.to(unit).to(torque.unit)
    assert abs(back.value - torque.value) <= torque.value * Decimal("1e-24")


@given(values, st.sampled_from(TorqueUnit))
def test_a_printed_torque_reads_back_as_itself(value: Decimal, unit: TorqueUnit) -> None:
    torque = Torque(value, unit)
    read = parse_torque(str(torque))
    assert isinstance(read, Torque)
    assert (read.value, read.unit) == (value, unit)


@given(torques, torques, st.decimals("0.1", "7", places=2))
def test_rounding_down_never_passes_the_value_and_stays_within_a_step(
    torque: Torque, other: Torque, step: Decimal
) -> None:
    rounded = torque.rounded(step, down=True)
    assert 0 <= torque.value - rounded.value < step
    assert abs(torque.rounded(step).value - torque.value) <= step / 2
    assert (torque < other) == (torque.newton_metres < other.newton_metres)


def test_an_exact_half_goes_to_the_even_digit() -> None:
    # NIST SP 811 (2008) B.7.1, from memory: 6.974 951 5 -> 6.974 952 and 6.974 950 5 -> 6.974 950.
    step = Decimal("0.000001")
    assert str(Torque(Decimal("6.9749515"), NM).rounded(step).value) == "6.974952"
    assert str(Torque(Decimal("6.9749505"), NM).rounded(step).value) == "6.974950"


def test_equal_size_is_equal_in_any_unit_and_inches_are_a_twelfth_of_feet() -> None:
    # "divide by 12": US Navy NAVEDTRA 14315, torquing computation.
    assert Torque(Decimal(12), LBF_IN) == Torque(Decimal(1), LBF_FT)
    assert len({Torque(Decimal(12), LBF_IN), Torque(Decimal(1), LBF_FT), Torque(Decimal(1), NM)}) == 2
    assert Torque(Decimal(24), LBF_IN) + Torque(Decimal(1), LBF_FT) == Torque(Decimal(3), LBF_FT)


def test_a_torque_never_mixes_with_another_kind() -> None:
    torque, angle = Torque(Decimal(40), NM), Angle(Decimal(40), AngleUnit.DEGREE)
    length = Length(Decimal(40), LengthUnit.MILLIMETRE)
    assert torque != angle
    assert torque != Decimal(40)
    for wrong in (angle, length, Decimal(40), 40, 40.0):
        with pytest.raises(TypeError):
            _ = torque + wrong
        with pytest.raises(TypeError):
            _ = torque < wrong
    with pytest.raises(TypeError):
        _ = torque * torque
    with pytest.raises(TypeError):
        Torque(40.0, NM)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="finite"):
        Torque(Decimal("NaN"), NM)


def test_scaling_and_ratio() -> None:
    torque = Torque(Decimal(60), NM)
    assert torque * Fraction(1, 3) == Torque(Decimal(20), NM)
    assert torque / 4 == Torque(Decimal(15), NM)
    assert torque / Torque(Decimal(40), NM) == Fraction(3, 2)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("40 N·m", "40", "N·m"),
        ("40Nm", "40", "N·m"),
        ("40 N-m", "40", "N·m"),
        ("40 N m", "40", "N·m"),
        ("40 N.m", "40", "N·m"),
        ("40 N⋅m", "40", "N·m"),
        ("35.5 newton metres", "35.5", "N·m"),
        (".5 N·m", "0.5", "N·m"),
        ("33 ft-lb", "33", "lbf·ft"),
        ("33 ft-lbs", "33", "lbf·ft"),
        ("33 FT-LB", "33", "lbf·ft"),
        ("33 lbf·ft", "33", "lbf·ft"),
        ("33 lbf.ft", "33", "lbf·ft"),
        ("33lbft", "33", "lbf·ft"),
        ("33 foot-pounds", "33", "lbf·ft"),
        ("80 lbf·in", "80", "lbf·in"),
        ("80 in-lb", "80", "lbf·in"),
        ("80 inch pounds", "80", "lbf·in"),
        ("12 oz-in", "12", "ozf·in"),
        ("4 kgf·m", "4", "kgf·m"),
        ("150 kgf.cm", "150", "kgf·cm"),
    ],
)
def test_a_torque_is_read_however_it_is_usually_written(text: str, value: str, unit: str) -> None:
    torque = parse_torque(text)
    assert isinstance(torque, Torque), torque
    assert (torque.value, torque.unit.value) == (Decimal(value), unit)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", "40 N·m"),
        ("40", "40 N·m"),
        ("40 nm", "nanometre"),
        ("40 NM", "N·m"),
        ("40 mNm", "millinewton"),
        ("40 mN·m", "millinewton"),
        ("0.04 kNm", "multiply by 1000"),
        ("40 J", "energy"),
        ("40 joules", "energy"),
        ("40 lb", "lbf·ft or lbf·in"),
        ("40 kg", "kgf·m or kgf·cm"),
        ("40 ft", "length"),
        ("40 lb/ft", "force times arm"),
        ("90°", "angle"),
        ("nan N·m", "40 N·m"),
        ("inf N·m", "40 N·m"),
        ("-40 N·m", "more than zero"),
        ("0 N·m", "more than zero"),
        ("35,5 N·m", "35.5 with a point"),
        ("1.000.000 N·m", "40 N·m"),
        ("4e1 N·m", "in full"),
        ("999999 N·m", "20000 N·m"),
        ("9" * 400 + " N·m", "40 N·m"),
        ("40 N·m or so", "40 N·m"),
        ("forty N·m", "40 N·m"),
        ("40 N·m\x00", "40 N·m"),
        ("٤٠ N·m", "40 N·m"),
    ],
)
def test_what_is_no_torque_gets_a_hint(text: str, hint: str) -> None:
    fault = parse_torque(text)
    assert isinstance(fault, Fault), fault
    assert hint in fault.advice
    assert "\n" not in fault.sentence
    assert len(fault.sentence) < 200


@given(st.text(max_size=80))
def test_no_text_makes_a_parser_raise(text: str) -> None:
    for parse in (parse_torque, parse_angle, parse_length, parse_torque_unit):
        result = parse(text)
        if isinstance(result, Fault):
            assert result.sentence.isprintable()


@pytest.mark.parametrize(
    ("text", "degrees"),
    # One sixth, a quarter, a third, a half and two thirds of a turn: turn-of-nut practice (RCSC).
    [("1/6 turn", 60), ("1/4 turn", 90), ("1/3 turn", 120), ("1/2 turn", 180), ("2/3 turn", 240), ("90°", 90)],
)
def test_angles_are_read_in_degrees_and_parts_of_a_turn(text: str, degrees: int) -> None:
    angle = parse_angle(text)
    assert isinstance(angle, Angle)
    assert angle.degrees == degrees


@pytest.mark.parametrize(
    "text", ["90", "1/0 turn", "0/4 turn", "1/7 turn", "1 rad", "-90°", "0°", "99999°", "90 Nm", ""]
)
def test_what_is_no_angle_gets_a_hint(text: str) -> None:
    assert isinstance(parse_angle(text), Fault)


def test_lengths() -> None:
    inch = parse_length('10"')
    assert isinstance(inch, Length)
    assert inch.millimetres == 254
    for text in ("10", "10 cm", "10 MM", "-4 mm", "0 mm", "nan mm", "1000000 mm", "10 N·m"):
        assert isinstance(parse_length(text), Fault), text
