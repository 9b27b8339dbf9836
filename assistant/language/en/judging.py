"""Bolts among their neighbours."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.facts.codes import ReadAt
from assistant.fastening.quantities import Angle, Torque, for_the_ear
from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.units import bolts_words, quantity
from assistant.language.en.words import sentence

_MAY_BE: Mapping[tuple[ReadAt, bool], str] = {
    (ReadAt.TORQUE, True): "is well below its neighbours: stretched thread, or missed",
    (ReadAt.TORQUE, False): "is well above its neighbours: thread seized or cross threaded, or turned twice",
    (ReadAt.ANGLE, True): "turned far less than its neighbours: thread seized or cross threaded, or tight before",
    (ReadAt.ANGLE, False): "turned far more than its neighbours: stretched thread, or something soft beneath",
}


def read_ask(what: ReadAt) -> str:
    return f"Then say reading, and the {'final torque' if what is ReadAt.TORQUE else 'angle'}."


def bolt_was_read(value: Torque | Angle) -> str:
    more = f": {digit_words(value.value)}" if sounds_alike(value.value) else ""
    return sentence(f"{number_words(value.value)}{more}")


def doubted(bolt: int, value: Torque | Angle | None, what: ReadAt, *, below: bool) -> list[str]:
    said = [sentence(f"{bolts_words([bolt])} {_MAY_BE[what, below]}")]
    return [*said, *([] if value is None else [f"It read {quantity(value)}."]), "Look at it."]


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
