"""YAML text to a tree of plain nodes with line and column, and plain values to YAML text. The one adapter of PyYAML.

Only the events of the parser are used, never its constructors: nothing is resolved, so ``yes``, ``1:30`` and ``010``
stay the text that the author wrote, and no tag can make an object. Aliases are refused, not followed, and the tree is
built with a list instead of recursion, so neither alias bombs nor deep nesting cost anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import yaml

from assistant.faults import quoted
from assistant.procedure.findings import At, Findings, Place, ReadingRule

MOST_DEPTH = 16
"""Levels of lists and mappings; the format needs eight."""
MOST_NODES = 50_000
"""Values in one file; a procedure of 500 steps has about 15,000."""

# libyaml reads a megabyte in well under a second; the pure parser, where the wheel has no libyaml, in several.
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class ScalarNode:
    """A value as it was written. ``plain`` is false when it stood in quotes or in a block."""

    line: int
    column: int
    text: str
    plain: bool = True

    @property
    def is_null(self) -> bool:
        """Return whether nothing was written (or YAML's words for nothing)."""
        return self.plain and self.text in {"", "~", "null", "Null", "NULL"}


@dataclass(frozen=True, slots=True)
class ListNode:
    """A list of values."""

    line: int
    column: int
    items: list[Node] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class MapNode:
    """A mapping; ``keys`` are the places of its keys."""

    line: int
    column: int
    values: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, ScalarNode] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BrokenNode:
    """Something that was already complained about; it is not complained about again."""

    line: int
    column: int


Node = ScalarNode | ListNode | MapNode | BrokenNode

_SYNTAX_HINTS: tuple[tuple[str, str], ...] = (
    ("mapping values are not allowed", "put a text that has a colon and a space in it between quotes"),
    ("could not find expected ':'", "write a colon and a space after the key"),
    (
        "cannot start any token",
        "indent with spaces, not tabs, and put a text that begins with a special sign in quotes",
    ),
    ("unknown escape", "put the text in single quotes, or write the backslash twice"),
    ("escape code", "put the text in single quotes, or write the backslash twice"),
    ("end of stream", "close the quotes"),
    ("',' or ']'", "close the list with ]"),
    ("',' or '}'", "close the mapping with }"),
    ("undefined tag handle", "delete the tag"),
    ("'-' indicator", "begin every item of the list with a hyphen and a space, all in one column"),
    ("block end", "indent this line like the lines beside it"),
    ("expected key", "indent this line like the lines beside it"),
    ("document start", "indent this line like the lines beside it, and put quotes round the whole text"),
    ("nesting depth", "take out brackets"),
    ("flow", "close the brackets"),
)


def read_tree(text: str, findings: Findings) -> Node | None:
    """Read YAML ``text``; None when there is nothing to go on with, and then there is a finding."""
    builder = _Builder(findings)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            if not builder.take(event):
                return None
    except (yaml.YAMLError, ValueError) as fault:  # ValueError: the pure parser on absurd escapes and versions
        findings.add(_end_of(fault, text), ReadingRule.YAML_SYNTAX, *_told(fault))
        return None
    root = builder.root
    if root is None or (isinstance(root, ScalarNode) and root.is_null):
        hint = "write one that begins with the key procedure" if findings.what == "procedure" else "list the tools"
        findings.add(At(), ReadingRule.EMPTY_FILE, f"The file holds no {findings.what}", hint)
        return None
    return root


def _end_of(fault: Exception, text: str) -> At:
    """Return where ``fault`` was met; libyaml names a line that is not there when it was met at the end of ``text``."""
    mark = getattr(fault, "problem_mark", None)
    if mark is None:
        return At()
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if mark.line >= len(lines):
        return At(len(lines), len(lines[-1]) + 1)
    return At(mark.line + 1, mark.column + 1)


def _told(fault: Exception) -> tuple[str, str]:
    """Return what is wrong and what to write, for a fault of the parser."""
    problem = str(getattr(fault, "problem", None) or "it cannot be read").splitlines()[0][:120]
    hint = next((hint for sign, hint in _SYNTAX_HINTS if sign in problem), "check the indentation and the quotes")
    mark, start = getattr(fault, "problem_mark", None), getattr(fault, "context_mark", None)
    scanning = str(getattr(fault, "context", None) or "").startswith("while scanning")
    begun = f"; it begins in line {start.line + 1}" if scanning and mark and start and start.line < mark.line else ""
    return f"This is not well-formed YAML ({problem}{begun})", hint


class _Builder:
    """Builds the tree from events, with a list of the open lists and mappings."""

    def __init__(self, findings: Findings) -> None:
        self.root: Node | None = None
        self._findings = findings
        self._open: list[ListNode | MapNode] = []
        self._keys: list[ScalarNode | BrokenNode | None] = []
        self._nodes = 0
        self._documents = 0

    def take(self, event: Any) -> bool:
        """Take one event; False when it is not worth going on."""
        place = At(event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            return self._document(event, place)
        if isinstance(event, yaml.AliasEvent):
            self._refuse(place, f"The alias *{str(event.anchor)[:40]} is not allowed", "write the value out here")
            return self._add(BrokenNode(place.line, place.column))
        if isinstance(event, yaml.CollectionEndEvent):
            self._open.pop()
            self._keys.pop()
            return True
        if not isinstance(event, yaml.NodeEvent):
            return True
        if event.anchor is not None:
            self._refuse(place, f"The anchor &{str(event.anchor)[:40]} is not allowed", "delete it")
        tag = getattr(event, "tag", None)
        if tag is not None:
            self._refuse(place, f"The tag {quoted(tag)} is not allowed", "delete it")
        if isinstance(event, yaml.ScalarEvent):
            return self._add(ScalarNode(place.line, place.column, event.value, not event.style))
        if len(self._open) >= MOST_DEPTH:
            text, hint = f"Lists and mappings are nested more than {MOST_DEPTH} deep here", "take this level out"
            self._findings.add(place, ReadingRule.NESTING, text, hint)
            return False
        node = (ListNode if isinstance(event, yaml.SequenceStartEvent) else MapNode)(place.line, place.column)
        going_on = self._add(node)
        self._open.append(node)
        self._keys.append(None)
        return going_on

    def _refuse(self, place: Place, what: str, instead: str) -> None:
        self._findings.add(place, ReadingRule.PLAIN_YAML, what, instead)

    def _document(self, event: yaml.DocumentStartEvent, place: At) -> bool:
        self._documents += 1
        if self._documents > 1:
            self._refuse(place, "A second document begins here", "keep one document in one file")
            return False
        if event.version or event.tags:
            self._refuse(place, "A line that begins with % is not allowed", "delete it")
        return True

    def _add(self, node: Node) -> bool:
        """Put ``node`` where it belongs: as the root, into a list, as a key or as the value of a key."""
        self._nodes += 1
        if self._nodes > MOST_NODES:
            text, hint = f"The file has more than {MOST_NODES} values", "split it"
            self._findings.add(node, ReadingRule.NESTING, text, hint)
            return False
        if not self._open:
            self.root = node
            return True
        parent = self._open[-1]
        if isinstance(parent, ListNode):
            parent.items.append(node)
            return True
        key = self._keys[-1]
        if key is None:
            self._keys[-1] = self._as_key(node)
            return True
        self._keys[-1] = None
        if isinstance(key, ScalarNode):
            self._entry(parent, key, node)
        return True

    def _as_key(self, node: Node) -> ScalarNode | BrokenNode:
        if isinstance(node, ScalarNode):
            if node.plain and node.text == "<<":
                self._refuse(node, "The merge key << is not allowed", "write the keys out here")
                return BrokenNode(node.line, node.column)
            return node
        if not isinstance(node, BrokenNode):
            self._findings.add(
                node, ReadingRule.VALUE_TYPE, "A key is a word, not a list or a mapping", "write one word"
            )
        return BrokenNode(node.line, node.column)

    def _entry(self, parent: MapNode, key: ScalarNode, value: Node) -> None:
        first = parent.keys.get(key.text)
        if first is not None:
            text, hint = f"The key {quoted(key.text)} stands twice, first in line {first.line}", "keep one of them"
            self._findings.add(key, ReadingRule.DUPLICATE_KEY, text, hint)
            return
        parent.keys[key.text] = key
        parent.values[key.text] = value


_SHORT = 100
"""Characters up to which a mapping or a list of single values is written on one line, between its brackets."""
_NULLS = frozenset({"", "~", "null", "Null", "NULL"})


class _Dumper(yaml.BaseDumper):
    """Writes texts as they are: the reader resolves nothing, so that ``yes`` and ``010`` need no quotes."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> Any:  # noqa: ARG002 - its name is given
        """Indent the items of a list under their key."""
        return super().increase_indent(flow, False)

    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002
        """Write every value out: the reader takes no aliases."""
        return True


def _represent_text(dumper: _Dumper, text: str) -> Any:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="'" if text in _NULLS else None)


def _represent_list(dumper: _Dumper, items: list[Any]) -> Any:
    return dumper.represent_sequence("tag:yaml.org,2002:seq", items, flow_style=_fits(items, items))


def _represent_map(dumper: _Dumper, entries: dict[str, Any]) -> Any:
    return dumper.represent_mapping(
        "tag:yaml.org,2002:map", entries.items(), flow_style=_fits(entries.values(), entries)
    )


def _fits(values: Iterable[Any], whole: object) -> bool:
    short = all(isinstance(value, str) or (isinstance(value, list) and _fits(value, "")) for value in values)
    return short and len(str(whole)) <= _SHORT


_Dumper.add_representer(str, _represent_text)
_Dumper.add_representer(list, _represent_list)
_Dumper.add_representer(dict, _represent_map)


def write_tree(value: Any) -> str:
    """Return YAML text for ``value``, which is made of mappings, lists and texts; :func:`read_tree` reads it back."""
    return str(yaml.dump(value, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=1_000_000))
