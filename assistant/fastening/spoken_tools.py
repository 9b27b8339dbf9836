"""How tools, strokes and faults are said. Names of tools come from the bay's own file and are said as written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.choice import Choice
from assistant.fastening.faults import Fault
from assistant.fastening.numbers import number_words
from assistant.fastening.spoken import SPOKEN_UNITS, angle_words, torque_words, unit_key, value_words
from assistant.fastening.units import Angle

_STANDS = {0: "straight", 90: "square", 180: "pointing back to the hand"}


def choice_words(choice: Choice) -> tuple[str, ...]:
    """Say a ``choice`` [tools and setting] in sentences of one number each.

    First which tool, then what to set; with a multiplier, that it is put between.

    Source: ours; how people of the trade say it.

    >>> from datetime import date
    >>> from assistant.fastening.choice import Need, choices
    >>> from assistant.fastening.tool_file import read_tools
    >>> box, _ = read_tools({"wrenches": [{"id": "w", "name": "small wrench", "type": "II A", "unit": "N·m", "low": 5,
    ...     "high": 50, "graduation": 0.5, "calibrated": "2026-01-10"}]})
    >>> from assistant.fastening.units import parse_torque
    >>> choice_words(choices(Need(parse_torque("35.5 N·m")), box, date(2026, 3, 1))[0])
    ('Use the small wrench.', 'Set thirty-five point five newton metres.')
    """
    sentences = [f"Use the {_said(choice.wrench.name)}."]
    if choice.multiplier is not None:
        sentences.append(f"Put the {_said(choice.multiplier.name)} between.")
    setting = f"Set {torque_words(choice.setting)}"
    if choice.adapter is not None:
        setting += f", with the {_said(choice.adapter.name)} {_stands(choice.adapter.angle)}"
    return (*sentences, f"{setting}.")


def _stands(angle: Angle) -> str:
    known = _STANDS.get(int(angle.degrees)) if angle.degrees.denominator == 1 else None
    return known if known is not None else f"at {angle_words(angle, further=False).split(',')[0]}"


def accuracy_words(accuracy: Decimal) -> str:
    """Say an ``accuracy`` [%] as plus or minus, to a tenth of a percent.

    Source: ours; how people of the trade say it.

    >>> accuracy_words(Decimal("5.6568"))
    'plus or minus five point seven percent'
    """
    return f"plus or minus {value_words(accuracy.quantize(Decimal('0.1')), '%')}"


def strokes_words(strokes: Sequence[Angle]) -> str:
    """Say ``strokes`` [degrees] as :func:`assistant.fastening.turning.strokes` splits them.

    Source: ours; how people of the trade say it.

    >>> from assistant.fastening.units import parse_angle
    >>> strokes_words([parse_angle("30°")] * 3)
    'three strokes of thirty degrees'
    >>> strokes_words([parse_angle("45°"), parse_angle("45°"), parse_angle("17°")])
    'two strokes of forty-five degrees, then one of seventeen degrees'
    """
    runs: list[tuple[Angle, int]] = []
    for stroke in strokes:
        if runs and runs[-1][0] == stroke:
            runs[-1] = (stroke, runs[-1][1] + 1)
        else:
            runs.append((stroke, 1))
    said = []
    for place, (stroke, count) in enumerate(runs):
        noun = "" if place else " stroke" if count == 1 else " strokes"
        said.append(f"{number_words(count)}{noun} of {angle_words(stroke, further=False).split(',')[0]}")
    return ", then ".join(said)


_VALUE = re.compile(r"(?P<number>\d+(?:\.\d+)?)(?P<unit>\s?[^\s\d,;:.!?]+)?", re.ASCII)
_THREAD = re.compile(r"\bM(\d+)(?:×(\d+(?:\.\d+)?))?", re.ASCII)
_ISO_DATE = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b", re.ASCII)
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def _said(text: str) -> str:
    """Write every date, number and known unit in a text as words."""
    text = _ISO_DATE.sub(_date_words, text)
    text = _THREAD.sub(lambda found: f"M {found[1]}" + (f" by {found[2]}" if found[2] else ""), text)
    return _VALUE.sub(_value_said, text)


def _date_words(found: re.Match[str]) -> str:
    year, month, day = (int(part) for part in found.groups())
    return f"the {_ordinal(day)} of {_MONTHS[(month - 1) % 12]} {number_words(year)}"


def _ordinal(day: int) -> str:
    irregular = {1: "first", 2: "second", 3: "third", 5: "fifth", 8: "eighth", 9: "ninth", 12: "twelfth"}
    if day in irregular:
        return irregular[day]
    if day > 20 and day % 10:
        return f"{number_words(day - day % 10)}-{_ordinal(day % 10)}"
    words = number_words(day)
    return f"{words[:-1]}ieth" if words.endswith("y") else f"{words}th"


def _value_said(found: re.Match[str]) -> str:
    number, unit = Decimal(found["number"]), found["unit"] or ""
    key = unit_key(unit) if unit else None
    if isinstance(key, str) and key in SPOKEN_UNITS:
        return value_words(number, key)
    return number_words(number) + unit


def fault_words(fault: Fault) -> str:
    """Say a ``fault`` [problem and hint] as two sentences without digits or unit symbols.

    Source: ours; how people of the trade say it.

    >>> fault_words(Fault("60 N·m is above the scale of the small wrench", "its scale ends at 50 N·m"))
    'Sixty newton metres is above the scale of the small wrench. Its scale ends at fifty newton metres.'
    """
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in (_said(fault.problem), _said(fault.hint)) if part)
