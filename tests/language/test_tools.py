"""Every fault of a tool is said from its code and its values, for the ear."""

from datetime import date
from decimal import Decimal

import pytest

from assistant.facts.codes import Why
from assistant.fastening.calibration import Due, DueWhy, calibration_due
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.language.en.tools import trouble
from tests.session.ear import unfit_for_the_ear

FORTY, FIFTY = (Torque(Decimal(number), TorqueUnit.NEWTON_METRE) for number in ("40", "50.5"))
DUE = Due(date(2026, 1, 10), DueWhy.DATE, date(2025, 1, 10))


@pytest.mark.parametrize("code", Why)
def test_each_can_be_said(code: Why) -> None:
    said = trouble(Unfit("", "", code, "w", name="small wrench", value=FORTY, edge=FIFTY, due=DUE))
    assert not unfit_for_the_ear(said)


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        (
            Unfit("", "", Why.ABOVE_SCALE, "w", name="small wrench", value=FIFTY, edge=FORTY),
            "Fifty point five newton metres is above the scale of the small wrench. "
            "Its scale ends at forty newton metres.",
        ),
        (
            Unfit("", "", Why.NO_ADAPTER, "70 mm", name="70 mm"),
            "There is no adapter of seventy millimetres in the tool box. Add it to the tools, or use another.",
        ),
        (
            Unfit("", "", Why.DUE, "w", name="20 Nm wrench", due=calibration_due(None, 0, date(2026, 1, 1))),
            "The twenty newton metres wrench is not to be trusted. "
            "The date of its last calibration is not known, so have it checked.",
        ),
        (
            Unfit("", "", Why.DUE, "w", name="M8 key", due=calibration_due(date(2026, 1, 1), 5000, date(2026, 2, 1))),
            "The M eight key is not to be trusted. It has done five thousand uses since its calibration. "
            "Five thousand is the most. Have it checked.",
        ),
        (
            Unfit("", "", Why.DUE, "w", name="key", due=calibration_due(date(2026, 3, 22), 0, date(2026, 2, 1))),
            "The key is not to be trusted. "
            "Its calibration date, the twenty-second of March two thousand and twenty-six, lies in the future, "
            "so have it checked.",
        ),
    ],
)
def test_it_is_said_with_its_values_in_words(fault: Unfit, said: str) -> None:
    assert trouble(fault) == said


def test_of_several_reasons_two_are_told() -> None:
    reasons = tuple(Unfit("", "", code, name="key") for code in (Why.LEVER, Why.REACH, Why.RATIO))
    assert trouble(Unfit("", "", Why.NOTHING, reasons=reasons, value=FORTY)).count("the key") == 2
