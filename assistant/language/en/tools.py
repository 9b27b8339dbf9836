"""Which tool, what is set on it, and what is wrong with it. Names of tools are said as the bay's file has them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import for_the_ear
from assistant.fastening.symbols import unit_key
from assistant.fastening.units import Angle, AngleUnit, Torque
from assistant.faults import Fault
from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.units import UNITS, quantity, torque_words, value_words
from assistant.language.en.words import bare, ear, listed, sentence

_STANDS = {0: "straight", 90: "square", 180: "pointing back to the hand"}


def tool_words(choice: Choice, last: Choice | None, *, anyway: bool = False) -> list[str]:
    setting = [_setting(choice)]
    if sounds_alike(choice.setting.value):
        setting.append(sentence(digit_words(choice.setting.value)))
    if last is None or last.tools != choice.tools:
        return [*_take(choice), *setting]
    return [] if last.setting == choice.setting and not anyway else setting


def _take(choice: Choice) -> list[str]:
    """Say which tools to take, and that a multiplier is put between."""
    said = [f"Use the {_said(choice.wrench.name)}."]
    if choice.multiplier is not None:
        said += [f"Put the {_said(choice.multiplier.name)} between.", "Rest its arm on a solid stop."]
    return [ear(one) for one in said]


def _setting(choice: Choice) -> str:
    said = f"Set {torque_words(choice.setting)}"
    if choice.adapter is not None:
        said += f", with the {_said(choice.adapter.name)} {_stands(choice.adapter.angle)}"
    return ear(said)


def _stands(angle: Angle) -> str:
    known = _STANDS.get(int(angle.degrees)) if angle.degrees.denominator == 1 else None
    return known if known is not None else f"at {quantity(angle)}"


def accuracy(percent: Decimal) -> str:
    return sentence(f"plus or minus {value_words(percent.quantize(Decimal('0.1')), '%')}")


def use(tool: str) -> str:
    return f"Use the {bare(tool)}."


def wrench_at(setting: Torque) -> str:
    return f"Wrench at {torque_words(setting)}."


def names(tools: Sequence[str]) -> str:
    return sentence(listed([bare(tool) for tool in tools]))


def procedure_names(tools: Sequence[str], value: Torque | Angle) -> str:
    whose = "its scale" if len(tools) == 1 else "the scale of the wrench"
    named = listed([bare(tool) for tool in tools])
    return f"The procedure names the {named}. Look that {whose} reaches {quantity(value)}."


# Multipliers


def between_tool(tool: str) -> str:
    return f"Turn through the {bare(tool)}."


def no_gear_ratio(tool: str) -> str:
    return f"The gear ratio of the {bare(tool)} is not known, so no angle can be given."


def at_handle(at_bolt: Angle, at_handle: Angle) -> list[str]:
    turned = [(at_bolt.to(AngleUnit.DEGREE), "bolt"), (at_handle.to(AngleUnit.DEGREE), "handle")]
    said = [f"{value_words(angle.value, '°').capitalize()} at the {where}." for angle, where in turned]
    alike = [(angle.value, where) for angle, where in turned if sounds_alike(angle.value)]
    return [
        "A further angle.",
        *said,
        *(f"{digit_words(number).capitalize()} at the {where}." for number, where in alike),
    ]


# Trouble


def lead(code: str, name: str) -> str:
    tool = bare(name)
    return {
        "without": "Without the multiplier.",
        "no_ratio": f"The ratio of the {tool} is not known, so no setting can be given.",
        "out_of_reach": f"The {tool} does not reach this value.",
        "alone": f"The {tool} alone does not reach this value.",
        "cannot": f"The {tool} cannot be set to this value.",
        "not_in_file": f"The {tool} is not in the tool file.",
        "nothing": "No tool in the tool file gives this value.",
    }[code]


_MOST_REASONS = 2
"""Reasons that are told why no tool suits: each has two numbers, and four are enough to hold in mind."""


def trouble(fault: Unfit) -> str:
    reasons = fault.reasons or (fault,)
    return " ".join(fault_words(reason) for reason in reasons[:_MOST_REASONS])


def fault_words(fault: Fault) -> str:
    """Say a ``fault`` [problem and hint] as two sentences without digits or unit symbols.

    Values are rounded as those of a stage are, see :func:`for_the_ear`.

    Source: ours; how people of the trade say it.

    >>> fault_words(Fault("60 N·m is above the scale of the small wrench", "its scale ends at 50 N·m"))
    'Sixty newton metres is above the scale of the small wrench. Its scale ends at fifty newton metres.'
    """
    parts = fault.ear if isinstance(fault, Unfit) and fault.ear else (fault.reason, fault.advice)
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in map(_said, parts) if part)


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
    if isinstance(key, str) and key in UNITS:
        return value_words(for_the_ear(number), key)
    return number_words(for_the_ear(number)) + unit
