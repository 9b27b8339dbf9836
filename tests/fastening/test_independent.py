"""Conversions against pint, an independent library of units."""

from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit


@cache
def registry() -> Any:
    """Return the units of pint; it takes as long to load as many tests to run."""
    import pint

    return pint.UnitRegistry()


def in_pint(unit: TorqueUnit) -> Any:
    """Return ``unit`` as pint has it; written as a product, because pint reads "Nm" as another unit."""
    force, length = {
        TorqueUnit.NEWTON_METRE: ("newton", "metre"),
        TorqueUnit.POUND_FOOT: ("force_pound", "foot"),
        TorqueUnit.POUND_INCH: ("force_pound", "inch"),
        TorqueUnit.OUNCE_INCH: ("force_ounce", "inch"),
        TorqueUnit.KILOGRAM_FORCE_METRE: ("kilogram_force", "metre"),
        TorqueUnit.KILOGRAM_FORCE_CENTIMETRE: ("kilogram_force", "centimetre"),
    }[unit]
    return getattr(registry(), force) * getattr(registry(), length)


@given(st.decimals("0.01", "2000", places=2), st.sampled_from(TorqueUnit), st.sampled_from(TorqueUnit))
def test_torque(value: Decimal, given_in: TorqueUnit, wanted: TorqueUnit) -> None:
    expected = (float(value) * in_pint(given_in)).to(in_pint(wanted)).magnitude
    assert float(Torque(value, given_in).to(wanted).value) == pytest.approx(expected, rel=1e-12)


def test_angle_and_length() -> None:
    assert float(Angle(Decimal("0.7"), AngleUnit.TURN).degrees) == pytest.approx((0.7 * registry().turn).to("degree").m)
    assert float(Length(Decimal(7), LengthUnit.INCH).millimetres) == pytest.approx((7 * registry().inch).to("mm").m)
