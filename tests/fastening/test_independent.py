"""Conversions against pint, an independent library of units."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit

registry = pint.UnitRegistry()
# Written as products, because pint reads "Nm" as another unit.
PINT = {
    TorqueUnit.NEWTON_METRE: registry.newton * registry.metre,
    TorqueUnit.POUND_FOOT: registry.force_pound * registry.foot,
    TorqueUnit.POUND_INCH: registry.force_pound * registry.inch,
    TorqueUnit.OUNCE_INCH: registry.force_ounce * registry.inch,
    TorqueUnit.KILOGRAM_FORCE_METRE: registry.kilogram_force * registry.metre,
    TorqueUnit.KILOGRAM_FORCE_CENTIMETRE: registry.kilogram_force * registry.centimetre,
}


@given(st.decimals("0.01", "2000", places=2), st.sampled_from(TorqueUnit), st.sampled_from(TorqueUnit))
def test_torque(value: Decimal, given_in: TorqueUnit, wanted: TorqueUnit) -> None:
    expected = (float(value) * PINT[given_in]).to(PINT[wanted]).magnitude
    assert float(Torque(value, given_in).to(wanted).value) == pytest.approx(expected, rel=1e-12)


def test_angle_and_length() -> None:
    assert float(Angle(Decimal("0.7"), AngleUnit.TURN).degrees) == pytest.approx((0.7 * registry.turn).to("degree").m)
    assert float(Length(Decimal(7), LengthUnit.INCH).millimetres) == pytest.approx((7 * registry.inch).to("mm").m)
