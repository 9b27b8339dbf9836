"""How tools, strokes and faults are said. Names of tools come from the bay's own file and are said as written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.choice import Choice
from assistant.fastening.faults import Fault, Unfit
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import for_the_ear
from assistant.fastening.tools import TorqueMultiplier
from assistant.fastening.units import Angle, AngleUnit
from assistant.language.en.numbers import number_words
from assistant.language.en.units import SPOKEN_UNITS, angle_words, torque_words, unit_key, value_words

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
        sentences += [f"Put the {_said(choice.multiplier.name)} between.", "Rest its arm on a solid stop."]
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
        return value_words(for_the_ear(number), key)
    return number_words(for_the_ear(number)) + unit


def fault_words(fault: Fault) -> str:
    """Say a ``fault`` [problem and hint] as two sentences without digits or unit symbols.

    Values are rounded as those of a stage are, see :func:`for_the_ear`.

    Source: ours; how people of the trade say it.

    >>> fault_words(Fault("60 N·m is above the scale of the small wrench", "its scale ends at 50 N·m"))
    'Sixty newton metres is above the scale of the small wrench. Its scale ends at fifty newton metres.'
    """
    parts = fault.ear if isinstance(fault, Unfit) and fault.ear else (fault.problem, fault.hint)
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in map(_said, parts) if part)


def handle_words(at_bolt: Angle, multiplier: TorqueMultiplier) -> tuple[str, ...]:
    """Say a further angle ``at_bolt`` [degrees or turns] that is turned through a ``multiplier`` [tool].

    One sentence for the bolt and one for the handle, by the ratio of the gears; without that, no number at all.

    Formula: see :func:`assistant.fastening.multiplier.handle_angle`.

    Source: ours; see :func:`assistant.fastening.multiplier.input_angle`.

    >>> from assistant.fastening.units import parse_angle, parse_torque
    >>> tool = TorqueMultiplier("m", "multiplier", Decimal("4.5"), Decimal(5), parse_torque("900 N·m"), Decimal(4))
    >>> handle_words(parse_angle("40°"), tool)
    ('A further angle.', 'Forty degrees at the bolt.', 'Two hundred degrees at the handle.')
    """
    turned = handle_angle(at_bolt, multiplier)
    if isinstance(turned, Fault):
        return (fault_words(turned),)
    said = [(at_bolt, "at the bolt"), (turned, "at the handle")]
    places = [f"{value_words(angle.to(AngleUnit.DEGREE).value, '°').capitalize()} {where}." for angle, where in said]
    return ("A further angle.", *places)
