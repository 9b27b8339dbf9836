"""A reading without limits: the class of the wrench and a margin, worked out here on paper."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.facts.codes import Side
from assistant.fastening.quantities import Angle, Torque
from assistant.fastening.readings import compare, general_limits, general_tolerance
from assistant.fastening.units import parse_angle, parse_torque


def value(text: str) -> Torque | Angle:
    found = parse_angle(text) if text.endswith("°") else parse_torque(text)
    assert isinstance(found, Torque | Angle), found
    return found


def test_with_a_usual_wrench_it_is_the_ten_percent_of_a_general_table() -> None:
    # Default tolerance of US Army TM 9-2320-362-14&P, appendix F: plus and minus 10 percent. Class II A over 10 N·m: 4
    # percent (ISO 6789-1:2017, 5.1.5, from memory).
    assert general_tolerance(value("40 N·m"), Decimal(4)) == 10


@pytest.mark.parametrize(
    ("target", "accuracy", "reading", "side"),
    [
        ("5 N·m", None, "24 N·m", Side.ABOVE),
        ("45°", None, "90°", Side.ABOVE),
        ("90°", None, "80°", Side.BELOW),
        ("90°", None, "81°", Side.WITHIN),
        ("90°", None, "99°", Side.WITHIN),
        ("90°", None, "100°", Side.ABOVE),
        ("10°", None, "8°", Side.WITHIN),
        ("10°", None, "7°", Side.BELOW),
        ("1°", None, "0°", Side.WITHIN),
        ("40 N·m", "4", "44 N·m", Side.WITHIN),
        ("40 N·m", "4", "44.1 N·m", Side.ABOVE),
        ("40 N·m", "4", "35.9 N·m", Side.BELOW),
        ("40 N·m", None, "44.8 N·m", Side.WITHIN),
        ("40 N·m", None, "45 N·m", Side.ABOVE),
        # 40 N·m are 29.50 lbf·ft (NIST SP 811, B.8, from memory): 32.4 is 43.93 N·m, 32.5 is 44.06 N·m.
        ("40 N·m", "4", "32.4 lbf·ft", Side.WITHIN),
        ("40 N·m", "4", "32.5 lbf·ft", Side.ABOVE),
    ],
)
def test_a_reading_far_from_its_target_is_outside(
    target: str, accuracy: str | None, reading: str, side: Side
) -> None:  # fmt: skip
    shown = Angle(Decimal(0), value("1°").unit) if reading == "0°" else value(reading)  # type: ignore[arg-type]
    ends = general_limits(value(target), None if accuracy is None else Decimal(accuracy))
    assert compare(shown, *ends) is side
