"""Tightening: stages, bolts, where they sit, values, and what is read off at a bolt."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit, for_the_ear
from assistant.language.en.numbers import digit_words, number_words, ordinal_words, sounds_alike
from assistant.language.en.talk import text as fixed
from assistant.language.en.units import (
    UNITS,
    angle_words,
    bolts_words,
    duration_words,
    quantity,
    torque_words,
    value_words,
)
from assistant.language.en.words import bare, echo, plural, sentence, stage_name
from assistant.language.sentence import Sentence
from assistant.language.values import StageAt

# Stages and bolts


def stage_number(stage: StageAt) -> str:
    said = []
    if stage.label or stage.printed or stage.of != 1:
        counted = stage.of > 1 and not (stage.label or stage.printed or stage.parts > 1)
        said.append(stage_name(stage._replace(parts=1, times=1)) + (f" of {number_words(stage.of)}" if counted else ""))
    if stage.parts > 1:
        said.append(f"pass {number_words(stage.part)} of {number_words(stage.parts)}")
    if stage.again:
        said.append("once more")
    return " ".join(filter(None, [sentence(", ".join(said)) if said else "", stage_time(stage)]))


def stage_time(stage: StageAt) -> str:
    return "" if stage.times == 1 else sentence(f"{ordinal_words(stage.time)} of {number_words(stage.times)}")


def together(numbers: Sequence[int]) -> str:
    return sentence(f"{bolts_words(numbers)}, at the same time") if len(numbers) > 1 else bolts(numbers)


def group_name(name: str, size: str) -> str:
    return sentence(f"{bare(name)}, {bare(size)}" if size else bare(name))


def bolts(numbers: Sequence[int]) -> str:
    return sentence(bolts_words(numbers))


def hidden(places: Sequence[tuple[int, str]]) -> str:
    said = ((f"Bolt {number_words(bolt)} is hidden", bare(where)) for bolt, where in places)
    return " ".join(f"{bolt}: {where}." if where else f"{bolt}." for bolt, where in said)


_HOURS = ("twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")


def at_hour(hour: int) -> str:
    return f"At {_HOURS[hour]} o'clock."


_SIDES = {-1: "left", 0: "middle", 1: "right"}
_HEIGHTS = {-1: "bottom", 0: "middle", 1: "top"}


def in_thirds(across: int, up: int | None) -> str:
    if across == 0 and not up:
        return "In the middle."
    return sentence(_SIDES[across] if up is None else f"{_HEIGHTS[up]} {_SIDES[across]}")


def now_at(numbers: Sequence[int]) -> str:
    return f"You are at {bolts_words(numbers)}."


def how_many_bolts(number: int) -> str:
    return sentence(plural(number, "bolt", "bolts"))


def done_of(done: int, of: int, *, passes: bool = False) -> str:
    said = f"{sentence(number_words(done)).rstrip('.')} of {number_words(of)}"
    return f"{said} in this {'pass' if passes else 'stage'} are done."


def counted(number: int) -> str:
    return f"That makes {echo(number)}."


def skip_bolts(numbers: Sequence[int], stage: StageAt) -> str:
    return f"Skip {bolts_words(numbers)} in {stage_name(stage)}"


# Values


def target(value: Torque | Angle, *, by_gauge: bool = False) -> str:
    return sentence(angle_words(value, by_eye=not by_gauge) if isinstance(value, Angle) else torque_words(value))


def target_surely(value: Torque | Angle, *, at_bolt: bool = False, by_gauge: bool = False) -> str:
    said = target(value, by_gauge=by_gauge)
    said = f"{said.rstrip('.')} at the bolt." if at_bolt else said
    number = value.to(AngleUnit.DEGREE).value if isinstance(value, Angle) else value.value
    by_hand = isinstance(value, Angle) and "," in said  # "a quarter turn" tells it apart already
    return said if by_hand or not sounds_alike(number) else f"{said} {sentence(digit_words(number))}"


def loosen(back: Torque | Angle | None) -> str:
    if isinstance(back, Angle):
        return f"Loosen by {angle_words(back, further=False)}."
    return "Loosen until no force is left."


def between(low: Torque | Angle | None, high: Torque | Angle | None) -> list[str]:
    return [f"{word} {quantity(end)}." for word, end in (("At least", low), ("At most", high)) if end is not None]


def add_drag(drag: Torque | None) -> str:
    return "" if drag is None else f"Add {torque_words(drag)} for the drag of the thread."


def strokes(parts: Sequence[Angle]) -> str:
    if len(parts) <= 1:
        return ""
    runs: list[tuple[Angle, int]] = []
    for stroke in parts:
        if runs and runs[-1][0] == stroke:
            runs[-1] = (stroke, runs[-1][1] + 1)
        else:
            runs.append((stroke, 1))
    said = []
    for place, (stroke, count) in enumerate(runs):
        noun = "" if place else " stroke" if count == 1 else " strokes"
        said.append(f"{number_words(count)}{noun} of {quantity(stroke)}")
    return sentence(", then ".join(said))


def too_many_strokes() -> str:
    return "The space is too tight for strokes. Make more room, or use a ratchet with an angle gauge."


def no_torque(bolts: Sequence[int]) -> list[str]:
    return [f"{_bolts(bolts)} got no torque before.", "A further angle counts on it."]


def _bolts(numbers: Sequence[int]) -> str:
    """Say bolts at the beginning of a sentence."""
    return sentence(bolts_words(numbers)).rstrip(".")


def long_pause(seconds: int) -> list[str]:
    return [
        f"The torque of these bolts was given {duration_words(seconds)} ago.",
        "Check that the maker allows such a pause.",
    ]


# New ones


def new_ask(name: str, count: int) -> str:
    verb, what = ("is", "it is") if count == 1 else ("are", "they are")
    return f"The {bare(name)} {verb} used only once. Say confirmed when {what} new."


def new_in_place(numbers: Sequence[int]) -> str:
    are, new = ("is", "it is") if len(numbers) == 1 else ("are", "they are")
    return f"{sentence(f'{bolts_words(numbers)} {are} too long')} Say confirmed when {new} replaced."


def loosened_ask(bolts: Sequence[int]) -> str:
    begins, verb = ("It begins", "is") if len(bolts) == 1 else ("They begin", "are")
    return f"{begins} again with the first stage. Say confirmed when {bolts_words(bolts)} {verb} loose."


def replace_ask(bolt: int) -> str:
    return f"Put in a new one for {bolts_words([bolt])}, from its first stage on? {fixed(Sentence.SAY_CONFIRMED)}"


def replaced(bolt: int) -> str:
    return f"A new one for {bolts_words([bolt])}."


# Readings


def measured(bolt: int, value: Torque | Angle, *, within: bool, general: bool, at_bolt: bool) -> str:
    said = f"{_bolts([bolt])}: {quantity(value)}{' at the bolt' if at_bolt else ''}"
    how = "no limits are given" if not within else "within the general tolerance" if general else "within limits"
    return f"{said}, {how}.{_digits(value.value)}"


def _digits(number: Decimal) -> str:
    return f" That is {digit_words(number)}." if sounds_alike(number) else ""


def reading_off(
    bolt: int, value: Torque | Angle, tolerance: Decimal | None, *, below: bool, at_bolt: bool = False
) -> str:
    said = f"{_bolts([bolt])}: {quantity(value)}{' at the bolt' if at_bolt else ''}.{_digits(value.value)}"
    side = "below" if below else "above"
    if tolerance is None:
        return f"{said} It is {side} the limit."
    return f"{said} It is {side} the general tolerance of {value_words(for_the_ear(tolerance), '%')}."


def edge(limit: Torque | Angle, *, below: bool) -> str:
    return f"{'At least' if below else 'At most'} {quantity(limit)}."


def accept_bolt(bolt: int, value: Torque | Angle) -> str:
    return f"Accept {quantity(value)} at {bolts_words([bolt])}"


def unit_from_now(unit: TorqueUnit) -> str:
    return f"{UNITS[unit.value][1].capitalize()} from now on."
