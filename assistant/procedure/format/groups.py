"""Groups of fasteners in a file: what they are, where they sit, and in which order they are tightened."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.advice.joint import Material
from assistant.fastening.cover_order import cover_order
from assistant.fastening.orders import Order, centre_out, cross_pattern
from assistant.faults import Fault
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Alternatives, Given, Key
from assistant.procedure.format.codecs import ListOf
from assistant.procedure.format.forms import (
    ANGLE_FROM_ZERO,
    BOLT,
    BOLTS,
    COORDINATE,
    FRICTION,
    ID,
    LENGTH,
    LIMITS,
    ORDER,
    ROWS,
    SCALED,
    TEXT,
    TOLD,
    YES_NO,
    choice,
    number,
    refers,
    whole,
)
from assistant.procedure.format.records import KeyTable, makes, must
from assistant.procedure.format.values import bolts_text
from assistant.procedure.limits_said import unspeakable
from assistant.procedure.model import Group, HiddenBolt, Layout, LayoutKind, Limits, Spot

HIDDEN = KeyTable(
    "hidden bolt",
    (
        must("bolt", BOLT, "Its number on the bolt map."),
        must("where", TOLD, "Where it hides."),
    ),
    makes(HiddenBolt),
    example="bolt: 6, where: behind the pump",
)
SPOT = KeyTable(
    "spot",
    (
        must("bolt", BOLT, "Its number on the bolt map."),
        must("x", COORDINATE, "Where it sits to the right, in the scale of the drawing."),
        must("y", COORDINATE, "Where it sits upwards, in the scale of the drawing."),
    ),
    makes(Spot),
    example="bolt: 6, x: 40, y: 25",
)

_ALSO = {"circle": ("start", "diameter", "x", "y"), "rows": ("width", "height", "x", "y"), "spots": ()}
"""The keys that go with each kind of layout."""
_LAYOUTS = Alternatives(
    "kind",
    {"circle": LayoutKind.CIRCLE, "rows": LayoutKind.ROWS, "spots": LayoutKind.FREE},
    Fault("A layout has exactly one of circle:, rows: and spots:, with the bolts", "write for example circle: 1-8"),
)


def placed_bolts(layout: Layout) -> list[int]:
    """Return the bolts that have a place, in the order of the file; one that has two of them stands twice."""
    spots = (spot.bolt for spot in layout.spots)
    return [*layout.circle, *(bolt for row in layout.rows for bolt in row), *spots]


def _layout(given: Given) -> Layout:
    kinds = [kind for kind in _ALSO if kind in given]
    if len(kinds) != 1:
        return Layout(LayoutKind.FREE, line=given.line)
    for key in ("start", "diameter", "width", "height", "x", "y"):
        if key in given and key not in _ALSO[kinds[0]]:
            text = f"{key} does not go with {kinds[0]}"
            given.complain(given.node.keys[key], ReadingRule.UNKNOWN_KEY, text, "take it out")
    return makes(Layout)(given)


LAYOUT = KeyTable(
    "layout",
    (
        Key("circle", BOLTS, "The bolts on a circle, clockwise."),
        Key("start", ANGLE_FROM_ZERO, "Where the first one sits, as an angle clockwise from twelve o'clock; at the top "
            "when left out."),
        Key("diameter", SCALED, "Diameter of the circle, in the scale of the drawing."),
        Key("rows", ROWS, "The bolts in rows: a list, each from left to right, the top row first."),
        Key("width", SCALED, "From the first to the last bolt of a row, in the scale of the drawing."),
        Key("height", SCALED, "From the top row to the bottom row, in the scale of the drawing."),
        Key("x", COORDINATE, "Where the middle of the circle or of the rows is, to the right; 0 when left out."),
        Key("y", COORDINATE, "Where the middle of the circle or of the rows is, upwards; 0 when left out."),
        Key("spots", ListOf(SPOT, least=1), "Where every single bolt sits: a list."),
    ),
    _layout,
    alternatives=_LAYOUTS,
)  # fmt: skip


def _group(given: Given) -> Group:
    order, pattern = given["order"], ""
    longest = _in_inches(given["free_length"])
    fault = _no_free_length(longest)
    if fault is not None:
        given.complain(given.at("free_length"), ReadingRule.UNIT, fault.reason, fault.advice)
    if order == "draft":
        order, pattern = _drafted(given)
    values = given.values("order", "bolts", "free_length")
    bolts = tuple(sorted(given["bolts"]))
    group = Group(**values, bolts=bolts, free_length=longest, order=order, order_drafted=pattern, line=given.line)
    given.context.made.setdefault("groups", {})[group.id] = group
    return group


def _in_inches(limits: Limits | None) -> Limits | None:
    """Return a free length that was taken for thousandths in inches again: a gauge for lengths shows no other."""
    if limits is None or limits.unit != "thou":
        return limits
    low, high = (None if end is None else end / 1000 for end in (limits.low, limits.high))
    return Limits(low, high, "in")


def _no_free_length(limits: Limits | None) -> Fault | None:
    """Return why limits are none of a free length; None when they are, or there are none."""
    if limits is None:
        return None
    if limits.low is not None or limits.unit not in ("mm", "in"):
        reason = "A free length has one limit, the longest that is used again, in millimetres or in inches"
        return Fault(reason, "write for example at most 118.5 mm, or at most 4.665 in")
    return unspeakable(limits.high, limits.unit)


def _drafted(given: Given) -> tuple[tuple[int, ...], str]:
    """Return the order of the general pattern for the layout, and the pattern."""
    layout = given["layout"]
    placed = placed_bolts(layout) if layout is not None else []
    missing = sorted(set(given["bolts"]) - set(placed)) if placed else []
    drafted: Order | Fault
    if missing:
        reason = f"The layout has no place for {bolts_text(missing)}, so no order can be drafted"
        drafted = Fault(reason, "give every bolt of the group one place")
    elif layout is not None and layout.kind is LayoutKind.CIRCLE:
        drafted = cross_pattern(layout.circle)
    elif layout is not None and layout.kind is LayoutKind.ROWS:
        drafted = centre_out(layout.rows)
    elif layout is not None and layout.spots:
        drafted = cover_order({spot.bolt: (float(spot.x), float(spot.y)) for spot in layout.spots})
    else:
        drafted = Fault("There is no layout that an order can be drafted from", "write layout:, or the order itself")
    if isinstance(drafted, Fault):
        given.complain(given.at("order"), ReadingRule.BOLT_LIST, drafted.reason, drafted.advice)
        return (), ""
    return drafted.bolts, drafted.pattern


def _parts(group: Group) -> Mapping[str, Any]:
    return {"order": "draft" if group.order_drafted else group.order}


_PART = number("part", "1", "100", minimum=1, maximum=100)
"""A part in percent of something."""
GROUP = KeyTable(
    "group",
    (
        must("id", ID, "Name by which steps refer to it."),
        must("name", TOLD, "What the fasteners are called, as it is spoken."),
        must("size", TOLD, "Their size in words, for the ear."),
        must("bolts", BOLTS, "Their numbers on the bolt map."),
        Key("where", TOLD, "Where they are."),
        Key("hidden", ListOf(HIDDEN), "Bolts that are easily forgotten."),
        Key("single_use", YES_NO, "yes when new ones must be fitted."),
        Key("spare", refers("spare"), "The spare that replaces them.", default=None),
        Key("thread", TEXT, "Their thread: M10, M10x1.25, or an inch thread such as 3/8-24 or 10-32."),
        Key("class", TEXT, "Their property class, such as 8.8, or the grade of an inch thread.", "strength"),
        Key("free_length", LIMITS, "The longest free length with which a bolt is used again: at most 118.5 mm."),
        Key("friction", FRICTION, "Coefficient of friction in the thread and under the head, from 0.04 to 0.4."),
        Key("clamp_length", LENGTH, "What lies between head and nut, or the first thread that bears; what is "
            "read off at a bolt is then compared with what such a joint allows."),
        Key("clamped", choice("parts", Material), "What those parts are made of; aluminium to steel when left out.",
            default=None),
        Key("retighten_at_most", whole(99, 1), "How often the same bolts may be tightened again after they came loose; "
            "then new ones must come.", default=None),
        Key("moves_on_from", _PART, "Least part of its first torque, in percent, at "
            "which a bolt may move on in a check, or when it is read again.", default=None),
        Key("layout", LAYOUT, "Where the bolts sit, for the bolt map."),
        Key("order", ORDER, "Every bolt in the order of tightening; or draft, for a general pattern that is marked as "
            "drafted."),
    ),
    _group,
    _parts,
    example="id: long, name: long bolts, size: ..., bolts: 1-6",
)  # fmt: skip
