"""Bolts among their neighbours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from assistant.facts.codes import ReadAt
from assistant.fastening.quantities import Angle, Torque, for_the_ear, plain
from assistant.language.en.numbers import digit_words, number_words, ordinal_words, sounds_alike
from assistant.language.en.units import bolts_words, quantity
from assistant.language.en.words import sentence

_MAY_BE: Mapping[tuple[ReadAt, bool], str] = {
    (ReadAt.TORQUE, True): "is well below its neighbours: stretched thread, or missed",
    (ReadAt.TORQUE, False): "is well above its neighbours: thread seized or cross threaded, or turned twice",
    (ReadAt.ANGLE, True): "turned far less than its neighbours: thread seized or cross threaded, or tight before",
    (ReadAt.ANGLE, False): "turned far more than its neighbours: stretched thread, or something soft beneath",
}


def read_ask(what: ReadAt) -> str:
    return f"Then say reading, and the {'torque' if what is ReadAt.TORQUE else 'angle'}."


def bolt_was_read(value: Torque | Angle) -> str:
    more = f": {digit_words(value.value)}" if sounds_alike(value.value) else ""
    return sentence(f"{number_words(value.value)}{more}")


def doubted(bolt: int, value: Torque | Angle | None, what: ReadAt, *, below: bool) -> list[str]:
    said = [sentence(f"{bolts_words([bolt])} {_MAY_BE[what, below]}")]
    return [*said, *([] if value is None else [f"It read {quantity(value)}."]), "Look at it."]


_EXACT = 10
"""From this value on the end of a band is said without a fraction."""
_JOINT_MAY_BE: Mapping[tuple[ReadAt, bool], str] = {
    (ReadAt.TORQUE, True): "has less than its joint allows: stretched thread, or not all of the angle",
    (ReadAt.TORQUE, False): "has more than its joint allows: rough or seized thread, or another bolt",
    (ReadAt.ANGLE, True): "turned less than its joint allows: seized thread, or tight before",
    (ReadAt.ANGLE, False): "turned further than its joint allows: stretched thread, or something soft beneath",
}


def joint_doubted(bolt: int, end: Torque | Angle, what: ReadAt, *, below: bool) -> list[str]:
    return [
        sentence(f"{bolts_words([bolt])} {_JOINT_MAY_BE[what, below]}"),
        f"Expected at {'least' if below else 'most'} {_end(end)}.",
        "Look at it.",
    ]


def _end(end: Torque | Angle) -> str:
    whole = end.value.quantize(Decimal(1) if end.value >= _EXACT else Decimal("0.1"))  # a band is no finer than that
    return quantity(type(end)(whole, end.unit))  # type: ignore[arg-type]


def joint_allows(least: Torque | Angle, most: Torque | Angle) -> list[str]:
    return [f"The joint allows at least {_end(least)}.", f"And at most {_end(most)}."]


def by_neighbours_too(bolt: int, *, below: bool) -> str:
    return sentence(f"{bolts_words([bolt])} is well {'below' if below else 'above'} its neighbours too")


def joint_ground(bolt: int, value: Torque | Angle, least: Torque | Angle, most: Torque | Angle) -> str:
    ends = f"{plain(least.value)} to {plain(most.value)} {most.unit.value}"
    return f"{bolts_words([bolt])} read {plain(value.value)} {value.unit.value}, its joint allows {ends}"


def retightened(bolts: Sequence[int], time: int, of: int) -> str:
    goes = "goes" if len(bolts) == 1 else "go"
    for_time = "for the last time" if time == of else f"for the {ordinal_words(time)} time of {number_words(of)}"
    return sentence(f"{bolts_words(bolts)} {goes} in again {for_time}")


def retightened_spent(bolts: Sequence[int]) -> str:
    was, may = ("was", "it may be") if len(bolts) == 1 else ("were", "they may be")
    return sentence(f"{bolts_words(bolts)} {was} tightened again as often as {may}")


def new_for_spent(bolts: Sequence[int], *, told: bool) -> str:
    is_new = "is a new one" if len(bolts) == 1 else "are new ones"
    ask = f"Say confirmed when {bolts_words(bolts)} {is_new}."
    return ask if told else f"{retightened_spent(bolts)} {ask}"


def moved_on(bolt: int, least: Decimal) -> list[str]:
    part = number_words(least)
    return [
        sentence(f"{bolts_words([bolt])} moved on below {part} percent of its torque: it settled, or was not tight"),
        "Look at it.",
    ]


def left_alone(bolt: int) -> str:
    return f"{sentence(bolts_words([bolt]))[:-1]} stays as it is."


def doubt_way(bolt: int) -> str:
    return f"Or say: leave {bolts_words([bolt])} as it is."


def scatter(number: int, middle: Torque | Angle, percent: int) -> list[str]:
    median = type(middle)(for_the_ear(middle.value), middle.unit)  # type: ignore[arg-type]
    return [
        sentence(f"{number_words(number)} read off"),
        f"In the middle, {quantity(median)}.",
        f"The farthest is off by {number_words(percent)} percent.",
    ]


def too_few(least: int) -> str:
    return f"Too few to compare: it takes {number_words(least)}."


def nothing_read() -> str:
    return "No bolts were read off that could be compared."


def in_doubt(bolts: list[int]) -> str:
    return sentence(open_doubts(bolts))


def open_doubts(bolts: list[int]) -> str:
    return f"{bolts_words(bolts)} {'is' if len(bolts) == 1 else 'are'} in doubt"


def leave_doubt(bolt: int) -> str:
    return f"Leave {bolts_words([bolt])} as it is"
