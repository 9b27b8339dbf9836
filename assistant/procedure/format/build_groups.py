"""Nodes to groups of fasteners: what they are, where they sit, and in which order they are tightened."""

from __future__ import annotations

from decimal import Decimal

from assistant.fastening.orders import centre_out, cross_pattern
from assistant.faults import Fault
from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.draft import Places
from assistant.procedure.format.fields import Fields
from assistant.procedure.format.tree import ListNode, MapNode
from assistant.procedure.model import Group, HiddenBolt, Layout, LayoutKind, Spot

_SMALL, _LARGE = Decimal("0.01"), Decimal(100_000)
"""Lengths in the scale of the drawing."""
_FRICTIONS = Decimal("0.04"), Decimal("0.4")
_ALSO = {"circle": ("start", "diameter", "x", "y"), "rows": ("width", "height", "x", "y"), "spots": ()}
"""The keys that go with each kind of layout."""


class GroupBuilder:
    """Makes the groups of one procedure."""

    def __init__(self, findings: Findings, places: Places) -> None:
        self._findings = findings
        self._places = places

    def group(self, node: MapNode) -> Group:
        """Make one group; a draft of its order is made from its layout, where the author asks for one."""
        count = self._findings.count
        fields = Fields(node, "group", self._findings)
        layout = self._layout(fields.map("layout")) if "layout" in fields else None
        order, pattern = self._order(fields, layout)
        group = Group(
            id=fields.ident("id"),
            name=fields.text("name"),
            size=fields.text("size"),
            bolts=tuple(sorted(fields.bolts("bolts"))),
            where=fields.text("where"),
            hidden=tuple(self._hidden(bolt) for bolt in fields.maps("hidden")),
            single_use=fields.yes_no("single_use", default=False),
            spare=fields.ident("spare") or None,
            line=node.line,
            thread=fields.text("thread"),
            strength=fields.text("class"),
            friction=fields.number("friction", *_FRICTIONS),
            layout=layout,
            order=order,
            order_drafted=pattern,
        )
        self._places.add(group, node, sound=self._findings.count == count)
        return group

    def _hidden(self, node: MapNode) -> HiddenBolt:
        fields = Fields(node, "hidden bolt", self._findings)
        return HiddenBolt(fields.bolt("bolt"), fields.text("where"))

    def _layout(self, node: MapNode) -> Layout:
        fields = Fields(node, "layout", self._findings)
        kinds = [kind for kind in _ALSO if kind in fields]
        if len(kinds) != 1:
            text = (
                "A layout has exactly one of circle:, rows: and spots:, with the bolts: write for example circle: 1-8"
            )
            fields.wrong(node, ReadingRule.MISSING_KEY, text)
            return Layout(LayoutKind.FREE, line=node.line)
        for key in ("start", "diameter", "width", "height", "x", "y"):
            if key in fields and key not in _ALSO[kinds[0]]:
                text = f"{key} does not go with {kinds[0]}: take it out"
                fields.wrong(node.keys[key], ReadingRule.UNKNOWN_KEY, text)
        layout = Layout(
            {"circle": LayoutKind.CIRCLE, "rows": LayoutKind.ROWS, "spots": LayoutKind.FREE}[kinds[0]],
            circle=fields.bolts("circle"),
            start=fields.angle_from_zero("start"),
            diameter=fields.number("diameter", _SMALL, _LARGE),
            rows=self._rows(fields),
            width=fields.number("width", _SMALL, _LARGE),
            height=fields.number("height", _SMALL, _LARGE),
            x=fields.number("x", -_LARGE, _LARGE) or Decimal(0),
            y=fields.number("y", -_LARGE, _LARGE) or Decimal(0),
            spots=tuple(self._spot(spot) for spot in fields.maps("spots", least=1)),
            line=node.line,
        )
        self._places.add(layout, node, sound=True)
        return layout

    @staticmethod
    def _rows(fields: Fields) -> tuple[tuple[int, ...], ...]:
        """Return the bolts of each row; a row is a range or a list."""
        return tuple(fields.as_bolts(row, "rows") for row in fields.items("rows", least=1))

    def _spot(self, node: MapNode) -> Spot:
        fields = Fields(node, "spot", self._findings)
        x, y = (fields.number(key, -_LARGE, _LARGE) or Decimal(0) for key in ("x", "y"))
        return Spot(fields.bolt("bolt"), x, y)

    @staticmethod
    def _order(fields: Fields, layout: Layout | None) -> tuple[tuple[int, ...], str]:
        """Return the order and, when it is a draft, the pattern that made it."""
        node = fields.node.values.get("order")
        if node is None or isinstance(node, ListNode) or fields.text("order") != "draft":
            return fields.bolts("order"), ""
        if layout is not None and layout.kind is LayoutKind.CIRCLE:
            drafted = cross_pattern(layout.circle)
        elif layout is not None and layout.kind is LayoutKind.ROWS:
            drafted = centre_out(layout.rows)
        else:
            drafted = Fault("There is no circle and no row that an order can be drafted from", "write the order itself")
        if isinstance(drafted, Fault):
            fields.wrong(node, ReadingRule.BOLT_LIST, drafted.sentence)
            return (), ""
        return drafted.bolts, drafted.pattern
