"""Nodes to a draft of the procedure: what stands before the steps, and the chapters."""

from __future__ import annotations

from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.build_groups import GroupBuilder
from assistant.procedure.format.build_steps import StepBuilder
from assistant.procedure.format.draft import Draft, Places
from assistant.procedure.format.fields import Fields
from assistant.procedure.format.tree import MapNode, Node
from assistant.procedure.interval import parse_interval
from assistant.procedure.model import (
    Approval,
    Chapter,
    HazardScheme,
    Interval,
    Item,
    Person,
    Procedure,
    Timer,
    TimerKind,
    Waiver,
)

_MOST_HOURS = 1000
_MOST_PERSONS = 99
_MOST_QUANTITY = 100_000


def build(root: Node, findings: Findings, sha256: str = "", content: str = "") -> Draft | None:
    """Make a draft from the tree; None when it is no mapping. All that is wrong in the writing is in ``findings``.

    ``sha256`` and ``content`` are the hashes of the file and of what an approval approves.
    """
    if not isinstance(root, MapNode):
        text = "The file is not a mapping: begin with the key procedure, and write the other keys in the same column"
        findings.add(root, ReadingRule.VALUE_TYPE, text)
        return None
    return _Builder(Fields(root, "file", findings), findings).draft(sha256, content)


class _Builder:
    """Makes the parts of one draft; each method reads one list or mapping of the format."""

    def __init__(self, file: Fields, findings: Findings) -> None:
        self._file = file
        self._findings = findings
        self._places = Places()

    def draft(self, sha256: str, content: str) -> Draft:
        head = self._fields("procedure", "procedure")
        before = self._fields("preliminary", "preliminary")
        grouping = GroupBuilder(self._findings, self._places)
        groups = tuple(grouping.group(node) for node in self._file.maps("groups"))
        steps = StepBuilder(self._findings, self._places, {group.id: group for group in groups})
        procedure = Procedure(
            id=head.ident("id"),
            title=head.text("title"),
            revision=head.text("revision"),
            source=head.text("source"),
            machine=head.text("machine"),
            hazard_scheme=HazardScheme(head.choice("hazard_scheme", tuple(HazardScheme))),
            values=head.choice("values", ("invented",)) if "values" in head.node.values else "",
            book_time=self._book_time(head),
            conditions=before.texts("conditions"),
            persons=tuple(self._person(node) for node in before.maps("persons")),
            support_equipment=self._items(before, "support_equipment", "support equipment"),
            supplies=self._items(before, "supplies", "supply"),
            spares=self._items(before, "spares", "spare"),
            safety=steps.hazards(before, "safety"),
            groups=groups,
            timers=tuple(self._timer(node) for node in self._file.maps("timers")),
            chapters=tuple(self._chapter(node, steps) for node in self._file.maps("chapters", least=1)),
            closing=steps.steps(self._file, "closing", "closing"),
            waivers=tuple(self._waiver(node) for node in self._file.maps("waivers")),
            approval=self._approval(),
            due=self._due(head),
            sha256=sha256,
            content=content,
        )
        self._places.add(procedure, self._file.node, sound=True)
        return Draft(procedure, self._places)

    @staticmethod
    def _book_time(head: Fields) -> int | None:
        """Return the book time [s]; files written before it had this name give a number of hours."""
        if "hours" in head and "book_time" not in head:
            hours = head.decimal("hours", _MOST_HOURS)
            return None if hours is None else round(hours * 3600)
        return head.seconds("book_time") if "book_time" in head else None

    def _due(self, head: Fields) -> Interval | None:
        node = head.scalar("due") if "due" in head else None
        if node is None:
            return None
        found = parse_interval(head.as_text(node, "due"))
        if isinstance(found, Interval):
            return found
        self._findings.add(node, ReadingRule.UNIT, found.sentence)
        return None

    def _fields(self, key: str, table: str) -> Fields:
        """Return the fields of a mapping; where it is not there, that was said already and nothing more is."""
        findings = self._findings if key in self._file else Findings(self._findings.file)
        return Fields(self._file.map(key), table, findings)

    def _person(self, node: MapNode) -> Person:
        fields = Fields(node, "person", self._findings)
        return Person(fields.text("kind"), fields.whole("count", _MOST_PERSONS) or 1, node.line)

    def _items(self, before: Fields, key: str, table: str) -> tuple[Item, ...]:
        return tuple(self._item(node, table) for node in before.maps(key))

    def _item(self, node: MapNode, table: str) -> Item:
        count = self._findings.count
        fields = Fields(node, table, self._findings)
        item = Item(
            id=fields.ident("id"),
            name=fields.text("name"),
            quantity=fields.decimal("quantity", _MOST_QUANTITY),
            unit=fields.text("unit"),
            note=fields.text("note"),
            single_use=table == "spare" and fields.yes_no("single_use", default=False),
            line=node.line,
            specification=fields.text("specification"),
        )
        self._places.add(item, node, sound=self._findings.count == count)
        return item

    def _timer(self, node: MapNode) -> Timer:
        count = self._findings.count
        fields = Fields(node, "timer", self._findings)
        kinds = [kind for kind in TimerKind if kind.value in fields]
        if len(kinds) != 1:
            text = "A timer has exactly one of open:, cure: and cool:, with its length: write for example open: 10 min"
            self._findings.add(node, ReadingRule.MISSING_KEY, text)
        kind = kinds[0] if kinds else TimerKind.OPEN
        timer = Timer(fields.ident("id"), fields.text("name"), kind, fields.seconds(kind.value), node.line)
        self._places.add(timer, node, sound=self._findings.count == count)
        return timer

    def _approval(self) -> Approval | None:
        if "approval" not in self._file:
            return None
        node, count = self._file.map("approval"), self._findings.count
        fields = Fields(node, "approval", self._findings)
        approval = Approval(fields.text("by"), fields.date("on"), fields.text("content"), node.line)
        self._places.add(approval, node, sound=self._findings.count == count)
        return approval

    def _waiver(self, node: MapNode) -> Waiver:
        fields = Fields(node, "waiver", self._findings)
        waiver = Waiver(fields.ident("rule"), fields.text("reason"), fields.ident("at") or None, node.line)
        self._places.add(waiver, node, sound=True)
        return waiver

    def _chapter(self, node: MapNode, steps: StepBuilder) -> Chapter:
        fields = Fields(node, "chapter", self._findings)
        return Chapter(fields.text("chapter"), steps.steps(fields, "steps", "step"), node.line)
