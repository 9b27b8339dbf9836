"""Sentences about tools, readings at a bolt, and new fasteners."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.choice import Choice
from assistant.fastening.faults import Fault, Unfit
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import for_the_ear
from assistant.fastening.tools import TorqueMultiplier
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.language.en.numbers import digit_words, sounds_alike
from assistant.language.en.replies import bare, ear, listed, sentence
from assistant.language.en.sentences import SAY_CONFIRMED
from assistant.language.en.tools import accuracy_words, choice_words, fault_words, handle_words, strokes_words
from assistant.language.en.units import (
    SPOKEN_UNITS,
    angle_words,
    bolts_words,
    duration_words,
    torque_words,
    value_words,
)
from assistant.procedure.model import Group
from assistant.session.named import First, Lead
from assistant.session.state import OffReading


def tool_words(choice: Choice, last: Choice | None, *, anyway: bool = False) -> list[str]:
    """Say the tool and its setting, as far as they differ from those of the bolts before; the setting ``anyway``."""
    said = [ear(words) for words in choice_words(choice)]
    if sounds_alike(choice.setting.value):
        said.append(sentence(digit_words(choice.setting.value)))
    if last is None or last.tools != choice.tools:
        return said
    return (
        []
        if last.setting == choice.setting and not anyway
        else said[-2:]
        if sounds_alike(choice.setting.value)
        else said[-1:]
    )


def accuracy(choice: Choice) -> str:
    """Say how exact the chain of tools is."""
    return sentence(accuracy_words(choice.accuracy))


MOST_REASONS = 2
"""Reasons that are told why no tool suits: each has two numbers, and four are enough to hold in mind."""


def trouble(fault: Unfit) -> str:
    """Say what is wrong with the tools; of several reasons why none suits, the first few, each in its own sentences."""
    reasons = fault.reasons or (fault,)
    return " ".join(fault_words(reason) for reason in reasons[:MOST_REASONS])


def lead(one: Lead) -> str:
    """Say, without any number, that the tool which the procedure names is not used as it stands there."""
    name = bare(one.name)
    return {
        First.WITHOUT: "Without the multiplier.",
        First.NO_RATIO: f"The ratio of the {name} is not known, so no setting can be given.",
        First.OUT_OF_REACH: f"The {name} does not reach this value.",
        First.ALONE: f"The {name} alone does not reach this value.",
        First.CANNOT: f"The {name} cannot be set to this value.",
        First.NOT_IN_FILE: f"The {name} is not in the tool file.",
        First.NOTHING: "No tool in the tool file gives this value.",
    }[one.code]


def no_torque(bolts: Sequence[int]) -> list[str]:
    """Say that ``bolts`` come to a further angle without the torque before it."""
    return [f"{sentence(bolts_words(bolts)).rstrip('.')} got no torque before.", "A further angle counts on it."]


def between_tool(tool: str) -> str:
    """Say that a further angle is turned through a multiplier."""
    return f"Turn through the {bare(tool)}."


def no_gear_ratio(tool: str) -> str:
    """Say that the angle at the handle of a multiplier cannot be worked out."""
    return f"The gear ratio of the {bare(tool)} is not known, so no angle can be given."


def at_handle(angle: Angle, multiplier: TorqueMultiplier) -> list[str]:
    """Say a further angle at the bolt and at the handle of a multiplier, with their digits where they sound alike."""
    handle = handle_angle(angle, multiplier)
    if isinstance(handle, Fault):
        return [no_gear_ratio(multiplier.name)]
    said = list(handle_words(angle, multiplier))
    for turned, where in ((angle.to(AngleUnit.DEGREE), "bolt"), (handle, "handle")):
        if sounds_alike(turned.value):
            said.append(f"{digit_words(turned.value).capitalize()} at the {where}.")
    return said


def procedure_names(tools: Sequence[str], value: Torque | Angle) -> str:
    """Say which tools the procedure names where no tool file says what they reach."""
    whose = "its scale" if len(tools) == 1 else "the scale of the wrench"
    named = listed([bare(tool) for tool in tools])
    return f"The procedure names the {named}. Look that {whose} reaches {quantity(value)}."


def use(tool: str) -> str:
    """Say which tool to take."""
    return f"Use the {bare(tool)}."


def wrench_at(setting: Torque) -> str:
    """Say what the wrench stands at."""
    return f"Wrench at {torque_words(setting)}."


def strokes(parts: Sequence[Angle]) -> str:
    """Say the strokes that the space allows, or "" when one will do."""
    return sentence(strokes_words(parts)) if len(parts) > 1 else ""


def add_drag(drag: Torque | None) -> str:
    """Say that the drag of a self-locking thread comes on top of the value."""
    return "" if drag is None else f"Add {torque_words(drag)} for the drag of the thread."


def loosen(back: Torque | Angle | None) -> str:
    """Say how far to loosen."""
    if isinstance(back, Angle):
        return f"Loosen by {angle_words(back, further=False)}."
    return "Loosen until no force is left."


def between(low: Torque | Angle | None, high: Torque | Angle | None) -> list[str]:
    """Say the limits of a value, each in its own sentence."""
    return [f"{word} {quantity(end)}." for word, end in (("At least", low), ("At most", high)) if end is not None]


def quantity(value: Torque | Angle) -> str:
    """Say a torque or an angle inside a sentence."""
    return torque_words(value) if isinstance(value, Torque) else value_words(value.to(AngleUnit.DEGREE).value, "°")


def long_pause(seconds: int) -> list[str]:
    """Say that a group waited long [s] between its torque and a further angle."""
    return [
        f"The torque of these bolts was given {duration_words(seconds)} ago.",
        "Check that the maker allows such a pause.",
    ]


# Readings


def measured(bolt: int, value: Torque | Angle, *, within: bool, general: bool, at_bolt: bool) -> str:
    """Read back what was read off at a bolt, and say with what it was compared: limits or the ``general`` tolerance.

    ``at_bolt`` says that it is the value at the bolt where the wrench shows another.
    """
    said = f"{sentence(bolts_words([bolt])).rstrip('.')}: {quantity(value)}{' at the bolt' if at_bolt else ''}"
    number = value.value
    digits = f" That is {digit_words(number)}." if sounds_alike(number) else ""
    how = "no limits are given" if not within else "within the general tolerance" if general else "within limits"
    return f"{said}, {how}.{digits}"


def off(bolt: int, reading: OffReading, tolerance: Decimal | None, *, at_bolt: bool = False) -> str:
    """Say that what was read off at a bolt is out of limits, or out of the general ``tolerance`` [%].

    ``at_bolt`` is as for :func:`measured`.
    """
    number = Decimal(reading.value)
    where = " at the bolt" if at_bolt else ""
    said = f"{sentence(bolts_words([bolt])).rstrip('.')}: {value_words(number, reading.unit)}{where}."
    digits = f" That is {digit_words(number)}." if sounds_alike(number) else ""
    if tolerance is None:
        return f"{said}{digits} It is {reading.side} the limit."
    return f"{said}{digits} It is {reading.side} the general tolerance of {value_words(for_the_ear(tolerance), '%')}."


def edge(limit: Torque | Angle, *, below: bool) -> str:
    """Say the limit that was passed."""
    return f"{'At least' if below else 'At most'} {quantity(limit)}."


def accept_bolt(bolt: int, value: Torque | Angle) -> str:
    """Say what accepting a reading at a bolt means."""
    return f"Accept {quantity(value)} at {bolts_words([bolt])}"


def loosened_ask(bolts: Sequence[int]) -> str:
    """Ask for the word that bolts which got their further angle are loose again."""
    begins, verb = ("It begins", "is") if len(bolts) == 1 else ("They begin", "are")
    return f"{begins} again with the first stage. Say confirmed when {bolts_words(bolts)} {verb} loose."


def replace_ask(bolt: int) -> str:
    """Ask whether a bolt is to be replaced."""
    return f"Put in a new one for {bolts_words([bolt])}, from its first stage on? {SAY_CONFIRMED}"


def replaced(bolt: int) -> str:
    """Say that a bolt was replaced."""
    return f"A new one for {bolts_words([bolt])}."


def new_ask(group: Group) -> str:
    """Ask for the word that single-use fasteners are new."""
    verb = "is" if len(group.bolts) == 1 else "are"
    what = "it is" if len(group.bolts) == 1 else "they are"
    return f"The {bare(group.name)} {verb} used only once. Say confirmed when {what} new."


def unit_from_now(unit: TorqueUnit) -> str:
    """Say in which unit values are said and read from now on."""
    return f"{SPOKEN_UNITS[unit.value].many.capitalize()} from now on."
