"""The forms of single values: text, id, yes or no, numbers, quantities with units, times, limits, days and bolts.

Where the reader is generous (units have many spellings) the patterns for editors are too: what ``assistant check``
takes must not be marked in the editor.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from assistant.fastening.quantities import Angle, AngleUnit, plain
from assistant.fastening.units import parse_angle, parse_length, parse_torque
from assistant.fastening.wrench import STRAIGHT
from assistant.faults import Fault
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Codec, Context, Form, Plain
from assistant.procedure.format.codecs import Ident, ListOf, OneOf, Text, Value, scalar
from assistant.procedure.format.tree import ListNode, Node, ScalarNode
from assistant.procedure.format.values import (
    MOST_BOLT_NUMBER,
    bolts_text,
    parse_amount,
    parse_bolts,
    parse_date,
    parse_duration,
    parse_limits,
    parse_number,
    parse_yes_no,
    written_amount,
    written_duration,
    written_limits,
)
from assistant.procedure.interval import parse_interval, written_interval
from assistant.procedure.pictures import NAME_PATTERN, parse_picture

E = TypeVar("E", bound=StrEnum)

_NUMBER = r"\d+(?:\.\d+)?"
_UNIT = r"\s*[^\s\d].*"
_LIMITS = rf"-?{_NUMBER}\s+to\s+-?{_NUMBER}{_UNIT}|at (?:least|most)\s+-?{_NUMBER}{_UNIT}|(?:±|\+/-)\s*{_NUMBER}\s*\S.*"
_INTERVAL = rf"{_NUMBER}\s*(?:km|mi|miles?|h|hours?|months?|years?)"
_TURN = rf"{_NUMBER}\s*(?:°|[Dd]eg\w*|[Tt]urns?|[Rr]ev\w*)|\d+\s*/\s*\d+\s*(?:of a )?(?:[Tt]urn|[Rr]ev)\w*"


def matching(pattern: str, *examples: str) -> Form:
    """Return the form of a text that matches ``pattern``, with ``examples`` for the editor."""
    return {"type": "string", "pattern": rf"^\s*(?:{pattern})\s*$", "examples": list(examples)}


def choice(name: str, words: type[E]) -> OneOf[E]:
    """Return the codec of an enumeration of words; its first one is the harmless one."""
    return OneOf(name, {word.value: word for word in words}, next(iter(words)))


def number(name: str, low: str, high: str, harmless: Decimal | None = None, **limits: float) -> Value[Decimal]:
    """Return the codec of a number from ``low`` to ``high`` [no unit]; ``limits`` are those of the schema.

    A text is taken by the schema too, because a writer may put quotes round it.
    """
    form = {"anyOf": [{"type": "number", **limits}, {"type": "string", "pattern": rf"^-?{_NUMBER}$"}]}
    ends = Decimal(low), Decimal(high)
    return Value(
        name, lambda text: parse_number(text, *ends), plain, form, f"number from {low} to {high}", ReadingRule.NUMBER,
        harmless,
    )  # fmt: skip


def whole(high: int, harmless: int | None = None, low: int = 1) -> Value[int]:
    """Return the codec of a whole number from ``low`` to ``high``."""

    def parse(text: str) -> int | Fault:
        value = parse_number(text, Decimal(low), Decimal(high), whole=True)
        return value if isinstance(value, Fault) else int(value)

    name = "whole" if low else "count"
    form: Form = {
        "anyOf": [{"type": "integer", "minimum": low},
                  {"type": "string", "pattern": "^[1-9][0-9]*$" if low else "^[0-9]+$"}]
    }  # fmt: skip
    return Value(name, parse, str, form, f"whole number from {low} to {high}", ReadingRule.NUMBER, harmless)


TEXT = Text("text", 400)
"""Nobody listens to more."""
TOLD = Text("text", 400, spoken=True)
"""A text that is spoken, and tells something."""
COMMAND = Text("text", 400, spoken=True, command=True)
"""A text that is spoken, and says what to do."""
TEXTS = ListOf(TOLD, name="texts")
ID = Ident()
IDS = ListOf(ID, least=0, name="ids")


def refers(to: str) -> Ident:
    """Return the codec of an id that is listed elsewhere: a reference to something of the kind ``to``."""
    return Ident(to)


def refers_each(to: str) -> ListOf[str]:
    """Return the codec of a list of such ids."""
    return ListOf(Ident(to), name="ids")


YES_NO = Value(
    "yes-no", parse_yes_no, lambda yes: "yes" if yes else "no",
    {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]}, "yes or no", ReadingRule.YES_NO, harmless=False,
)  # fmt: skip
DATE = Value(
    "date", parse_date, str,
    {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$", "examples": ["2026-01-31"]},
    "day, such as 2026-01-31", ReadingRule.DATE, harmless="",
)  # fmt: skip
QUANTITY = number("number", "0.01", "100000", exclusiveMinimum=0)
SCALED = number("number", "0.01", "100000", exclusiveMinimum=0)
"""A length in the scale of the drawing."""
COORDINATE = number("coordinate", "-100000", "100000", Decimal(0))
FRICTION = number("friction", "0.04", "0.4", minimum=0.04, maximum=0.4)
MINUTES = number("number", "0.01", "10000", exclusiveMinimum=0)
BOLT = whole(MOST_BOLT_NUMBER, 1)

TORQUE = Value(
    "torque", parse_torque, str,
    matching(rf"{_NUMBER}\s*(?!nm\s*$|NM\s*$|nM\s*$)[^\s\d].*", "40 N·m", "33 lbf·ft", "80 lbf·in"),
    "torque, such as 40 N·m",
)  # fmt: skip
ANGLE = Value("angle", parse_angle, str, matching(_TURN, "90°", "1/4 turn"), "angle, such as 90°")
LENGTH = Value("length", parse_length, str, matching(rf"{_NUMBER}\s*[^\s\d].*", "50 mm"), "length, such as 50 mm")
TIME = Value(
    "time", parse_duration, written_duration,
    matching(rf"(?:{_NUMBER}\s*[A-Za-z]+\s*){{1,4}}", "90 s", "10 min", "1 h 30 min"), "time, such as 10 min",
)  # fmt: skip
LIMITS = Value(
    "limits", parse_limits, written_limits, matching(_LIMITS, "0.20 to 0.30 mm", "at least 2 bar", "at most 0.05 mm"),
    "limits, such as 0.20 to 0.30 mm",
)  # fmt: skip
AMOUNT = Value(
    "amount", parse_amount, written_amount, matching(rf"{_NUMBER}{_UNIT}", "11 l", "500 ml", "20 g"),
    "amount, such as 11 l",
)  # fmt: skip
PICTURE = Value(
    "picture", parse_picture, str, matching(NAME_PATTERN, "lid-from-above.png"), "name of a file, such as lid.png",
    ReadingRule.PICTURE, harmless="",
)  # fmt: skip
INTERVAL = Value(
    "interval", parse_interval, written_interval,
    matching(rf"{_INTERVAL}(?:\s*,\s*{_INTERVAL}){{0,2}}", "60000 km, 48 months", "500 h"),
    "interval, such as 60000 km, 48 months",
)  # fmt: skip

_HALF_TURN = Angle(Decimal(180), AngleUnit.DEGREE)


def _or_zero(pattern: str, *examples: str) -> Form:
    return {"anyOf": [{"const": 0}, matching(f"0|{pattern}", *examples)]}


def _parse_from_zero(text: str) -> Angle | Fault:
    """Read an angle that may be zero."""
    zero = text.strip() in {"0", "0°", "0 °", "0 deg", "0 degrees"}
    return STRAIGHT if zero else parse_angle(text)


def _parse_direction(text: str) -> Angle | Fault:
    """Read the angle of an adapter to its wrench, from zero to half a turn."""
    angle = STRAIGHT if text.strip() == "straight" else _parse_from_zero(text)
    if isinstance(angle, Angle) and angle > _HALF_TURN:
        hint = "write 0° for straight, 90° for square, up to 180° for pointing back"
        return Fault(f"The adapter stands at {angle}", hint)
    return angle


ANGLE_FROM_ZERO = Value("angle-from-zero", _parse_from_zero, str, _or_zero(_TURN, "0°", "45°"), "angle from 0°")
DIRECTION = Value(
    "direction", _parse_direction, str, _or_zero(f"straight|{_TURN}", "0°", "90°"), "angle from 0° to 180°",
    harmless=STRAIGHT,
)  # fmt: skip

_BOLTS = r"[1-9]\d{0,2}(?:\s*(?:-|–|to)\s*[1-9]\d{0,2})?"
_BOLT_LIST = rf"{_BOLTS}(?:\s*,\s*{_BOLTS})*"


def written_bolts(bolts: Iterable[int]) -> str | list[str]:
    """Return bolt numbers in their order, in short: one range, or a list of ranges.

    >>> written_bolts((1, 2, 3)), written_bolts((3, 4, 2, 5, 6, 7, 1))
    ('1-3', ['3-4', '2', '5-7', '1'])
    """
    ranges = bolts_text(bolts).split(", ")
    return ranges[0] if len(ranges) == 1 else ranges


@dataclass(frozen=True, slots=True)
class BoltList(Codec[tuple[int, ...] | str]):
    """Bolt numbers in their order, or one of a few ``words`` that stand for some of them."""

    name: str
    words: tuple[str, ...] = ()
    harmless: Any = ()

    def read(self, node: Node, key: str, context: Context) -> tuple[int, ...] | str | None:
        if isinstance(node, ScalarNode) and node.text in self.words:
            return node.text
        nodes = node.items if isinstance(node, ListNode) else [node]
        if not nodes:
            context.complain(node, ReadingRule.BOLT_LIST, "There is no bolt in this list", "write for example 1-6")
        scalars = [one for one in (scalar(item, key, context) for item in nodes) if one is not None]
        if not nodes or len(scalars) < len(nodes):
            return None
        bolts = parse_bolts(tuple(one.text for one in scalars))
        if isinstance(bolts, Fault):
            context.complain(scalars[0], ReadingRule.BOLT_LIST, bolts.reason, bolts.advice)
            return None
        return bolts

    def write(self, value: tuple[int, ...] | str) -> Plain:
        return value if isinstance(value, str) else written_bolts(value)

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        number = {"type": "integer", "minimum": 1, "maximum": 999}
        several = {"type": "array", "items": {"anyOf": [number, matching(_BOLT_LIST)]}, "minItems": 1}
        return {"anyOf": [number, matching("|".join((_BOLT_LIST, *self.words)), "1-6"), several]}

    def docs(self) -> str:
        words = "".join(f", or {word}" for word in self.words)
        return f"bolts, such as 1-6 or [1, 5, 3]{words}"


BOLTS = BoltList("bolts")
RUN_BOLTS = BoltList("run-bolts", ("all", "order", "reverse"))
ORDER = BoltList("order", ("draft",))
ROWS = ListOf(BOLTS, least=1, name="rows")


@dataclass(frozen=True, slots=True)
class Raw(Codec[Any]):
    """A value whose meaning needs its neighbours: it is read as its node, and written as the text that it is given."""

    name: str
    pattern: Form
    said: str
    harmless: Any = None

    def read(self, node: Node, key: str, context: Context) -> ScalarNode | None:
        return scalar(node, key, context)

    def write(self, value: Any) -> Plain:
        return str(value)

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return dict(self.pattern)

    def docs(self) -> str:
        return self.said


BAND = Raw("limits", dict(LIMITS.pattern), "limits, such as 38 to 42 N·m or ± 5 %")
"""Limits of a target, which stands beside them."""
