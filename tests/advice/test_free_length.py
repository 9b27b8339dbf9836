"""Free lengths against the limit of a procedure, in both units."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.free_length import Reuse, judge_length
from assistant.fastening.quantities import Length, LengthUnit
from assistant.fastening.units import parse_length


@pytest.mark.parametrize(
    ("length", "limit", "reuse"),
    [
        ("118.2 mm", "118.5 mm", Reuse.WITHIN),
        ("118.5 mm", "118.5 mm", Reuse.CLOSE),
        ("118.51 mm", "118.5 mm", Reuse.BEYOND),
        ("4.66 in", "4.665 in", Reuse.WITHIN),
        ("4.6650 in", "118.5 mm", Reuse.CLOSE),  # 118.491 mm
        ("118.6 mm", "4.665 in", Reuse.BEYOND),
    ],
)
def test_a_bolt_is_as_long_as_it_may_be_or_not(length, limit, reuse):
    assert judge_length(parse_length(length), parse_length(limit)).reuse is reuse


@given(st.decimals("50", "300", places=2), st.decimals("50", "300", places=2))
def test_what_is_longer_than_the_limit_is_never_used_again_in_any_unit(length, limit):
    one, most = Length(length, LengthUnit.MILLIMETRE), Length(limit, LengthUnit.MILLIMETRE)
    found = judge_length(one, most).reuse
    assert (found is Reuse.BEYOND) == (length > limit)
    # Inches end after no number of digits here, so what lies on the edge may fall to either side of it.
    if abs(abs(limit - length) - Decimal("0.03")) > Decimal("0.000001") and length != limit:
        assert judge_length(one.to(LengthUnit.INCH), most.to(LengthUnit.INCH)).reuse is found
