"""Which tool, what is set on it, and what is wrong with it. Names of tools are said as the bay's file has them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from assistant.facts.codes import Why
from assistant.facts.kinds.tighten import LeadCode
from assistant.fastening.calibration import Due, DueWhy
from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Angle, AngleUnit, Length, Torque, for_the_ear
from assistant.fastening.symbols import unit_key
from assistant.fastening.units import parse_length
from assistant.language.en.numbers import digit_words, number_words, ordinal_words, sounds_alike
from assistant.language.en.units import quantity, torque_words, value_words
from assistant.language.en.words import bare, ear, listed, sentence

_STANDS = {0: "straight", 90: "square", 180: "pointing back to the hand"}


def tool_words(choice: Choice, last: Choice | None, *, anyway: bool = False) -> list[str]:
    setting = [_setting(choice)]
    if sounds_alike(choice.setting.value):
        setting.append(sentence(digit_words(choice.setting.value)))
    if last is None or (last.tools != choice.tools and not _only_adapter_comes(last, choice)):
        return [*_take(choice), *setting]
    return [] if (last.setting, last.tools) == (choice.setting, choice.tools) and not anyway else setting


def _only_adapter_comes(last: Choice, choice: Choice) -> bool:
    """Whether the wrench stays in the hand and an adapter goes on it, which the setting names."""
    (wrench, _, multiplier), (wrench_before, _, multiplier_before) = choice.tools, last.tools
    return choice.adapter is not None and (wrench, multiplier) == (wrench_before, multiplier_before)


def _take(choice: Choice) -> list[str]:
    """Say which tools to take, and that a multiplier is put between."""
    said = [f"Use the {_said(choice.wrench.name)}."]
    if choice.multiplier is not None:
        said += [f"Put the {_said(choice.multiplier.name)} between.", rest_arm()]
    return [ear(one) for one in said]


def _setting(choice: Choice) -> str:
    said = f"Set {torque_words(choice.setting)}"
    if choice.adapter is not None:
        said += f", the {_said(choice.adapter.name)} {_stands(choice.adapter.angle)}"
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


def rest_arm() -> str:
    return "Rest its arm on a solid stop."


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


def lead(code: LeadCode, name: str) -> str:
    tool = bare(name)
    return {
        LeadCode.WITHOUT: "Without the multiplier.",
        LeadCode.NO_RATIO: f"The ratio of the {tool} is not known, so no setting can be given.",
        LeadCode.OUT_OF_REACH: f"The {tool} does not reach this value.",
        LeadCode.ALONE: f"The {tool} alone does not reach this value.",
        LeadCode.CANNOT: f"The {tool} cannot be set to this value.",
        LeadCode.NOT_IN_FILE: f"The {tool} is not in the tool file.",
        LeadCode.NOTHING: "No tool in the tool file gives this value.",
    }[code]


_MOST_REASONS = 2
"""Reasons that are told why no tool suits: each has two numbers, and four are enough to hold in mind."""


def trouble(fault: Unfit) -> str:
    reasons = fault.reasons or (fault,)
    return " ".join(_trouble(reason) for reason in reasons[:_MOST_REASONS])


def _trouble(fault: Unfit) -> str:
    tool = _said(fault.name or fault.tool)
    value, edge = _about(fault.value), _about(fault.edge)
    first = value[:1].upper() + value[1:]
    match fault.code:
        case Why.DUE:
            return f"The {tool} is not to be trusted. {_due(fault.due)}"
        case Why.NO_ADAPTER:
            length = parse_length(fault.name)
            which = f"of {_length(length)}" if isinstance(length, Length) else tool
            return f"There is no adapter {which} in the tool box. Add it to the tools, or use another."
    return {
        Why.NOTHING: f"No tool here gives {value}.",
        Why.NO_WRENCH: "There is no torque wrench in the tool box. Add one to the tools before you begin.",
        Why.NO_GAUGE: "There is no angle gauge in the tool box. Mark the bolts, or add a gauge to the tools.",
        Why.NOT_IN_FILE: f"The {tool} is not in the tool box. Read its ratio off its plate and add it to the tools.",
        Why.LEVER: f"The lever of the {tool} is not known. Measure it and add it to the tools.",
        Why.REACH: f"The adapter reaches back past the hand on the {tool}. Use a shorter one, or a longer wrench.",
        Why.RATIO: f"The torque ratio of the {tool} is not known. Read it off its plate and add it to the tools.",
        Why.RATING: f"{first} is over the rating of the {tool}. Its most is {edge}.",
        Why.BELOW_SCALE: f"{first} is below the lowest marking of the {tool}. Its scale begins at {edge}.",
        Why.ABOVE_SCALE: f"{first} is above the scale of the {tool}. Its scale ends at {edge}.",
        Why.TOO_COARSE: f"The {tool} has no marking near {value} within the limits. Use a wrench with a finer scale.",
        Why.DRAG: "The drag of the thread cannot be less than zero. Measure it while the nut is run down.",
        Why.LOWEST_FIFTH: f"The {tool} is less exact so low.",
        Why.ARM: f"Its arm pushes back with {value}. Keep hands away before you load it.",
    }[fault.code]


def _about(value: Torque | None) -> str:
    """Say a value of a fault, rounded as those of a stage are; see :func:`for_the_ear`."""
    return "" if value is None else value_words(for_the_ear(value.value), value.unit.value)


def _length(length: Length) -> str:
    return value_words(length.value, length.unit.value)


def _due(due: Due | None) -> str:
    match due:
        case Due(because=DueWhy.DATE, on=date() as on):
            return f"It was due for calibration on {day_words(on)}, so have it checked."
        case Due(because=DueWhy.FUTURE, calibrated=date() as day):
            return f"Its calibration date, {day_words(day)}, lies in the future, so have it checked."
        case Due(because=DueWhy.USES):
            done = f"It has done {number_words(due.uses)} uses since its calibration."
            return f"{done} {sentence(number_words(due.most_uses))[:-1]} is the most. Have it checked."
        case _:
            return "The date of its last calibration is not known, so have it checked."


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def day_words(day: date) -> str:
    """Return a day as it is spoken.

    >>> day_words(date(2026, 12, 1))
    'the first of December two thousand and twenty-six'
    """
    return f"the {ordinal_words(day.day)} of {_MONTHS[day.month - 1]} {number_words(day.year)}"


_THREAD = re.compile(r"\bM(\d+)(?:×(\d+(?:\.\d+)?))?", re.ASCII)
_VALUE = re.compile(r"(?P<number>\d+(?:\.\d+)?)(?P<unit>\s?[^\s\d,;:.!?]+)?", re.ASCII)


def _said(name: str) -> str:
    """Write the numbers, and the units behind them, in the name of a tool as words."""
    name = _THREAD.sub(lambda found: f"M {found[1]}" + (f" by {found[2]}" if found[2] else ""), name)
    return _VALUE.sub(_value_said, name)


def _value_said(found: re.Match[str]) -> str:
    number, unit = for_the_ear(Decimal(found["number"])), found["unit"] or ""
    key = unit_key(unit) if unit else None
    return value_words(number, key) if isinstance(key, str) else number_words(number) + unit
