"""From a bay's tool file to its tools, or to findings that say what to mend.

The writing follows the rules of procedure files (plain YAML, every complaint with its line and column); what the fields
mean, and what may stand in them, is in :mod:`assistant.fastening.tool_file`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.fastening.tool_file import Place, ToolFault, read_tools
from assistant.fastening.tools import ToolBox
from assistant.procedure.findings import Finding, Findings
from assistant.procedure.findings import Place as At
from assistant.procedure.format.source import decode, read_bytes
from assistant.procedure.format.tree import ListNode, MapNode, Node, ScalarNode, read_tree

TOOL_RULE = "tool-file"
"""The rule of every complaint about what the fields say; its heading is in ``docs/tools.md``."""
_UNSPEAKABLE = re.compile(r"[^A-Za-z0-9 ,.'()-]")


@dataclass(frozen=True, slots=True)
class ToolReading:
    """What came of reading a tool file: the tools unless something must be mended, the bytes, and their SHA-256."""

    box: ToolBox | None
    findings: tuple[Finding, ...] = ()
    data: bytes = b""

    @property
    def sha256(self) -> str:
        """Return the hash of the bytes, in hexadecimal."""
        return sha256(self.data).hexdigest()


def read_tool_file(path: Path) -> ToolReading:
    """Read and check the tool file at ``path``; a file that cannot be read is a finding too."""
    findings = Findings(str(path), what="tool")
    data = read_bytes(path, findings)
    return ToolReading(None, findings.result()) if data is None else read_tool_text(data, str(path))


def read_tool_text(data: bytes, name: str) -> ToolReading:
    """Read and check the bytes of a tool file; ``name`` is the file that findings point to."""
    findings = Findings(name, what="tool")
    text = decode(data, findings)
    tree = None if text is None else read_tree(text, findings)
    if tree is None or findings.errors:
        return ToolReading(None, findings.result(), data)
    box, faults = read_tools(_plain(tree))
    for fault in (*faults, *_names(box)):
        findings.add(_find(tree, fault.place), TOOL_RULE, fault.sentence)
    return ToolReading(None if findings.errors else box, findings.result(), data)


def read_kept_tools(data: bytes, name: str) -> ToolBox | None:
    """Return the tools of the copy that a job keeps of its tool file, which was checked when the job took it.

    Rules that came later are not held against it; None only where a value cannot be read any more.
    """
    findings = Findings(name, what="tool")
    text = decode(data, findings)
    tree = None if text is None else read_tree(text, findings)
    if tree is None or findings.errors:
        return None
    box, faults = read_tools(_plain(tree))
    return None if any(fault.stand_in for fault in faults) else box


def _plain(node: Node) -> object:
    """Return a node as texts, lists and mappings; what was complained about is left out."""
    match node:
        case ScalarNode():
            return None if node.is_null else node.text
        case ListNode():
            return [_plain(item) for item in node.items]
        case MapNode():
            return {key: _plain(value) for key, value in node.values.items()}
    return None


def _names(box: ToolBox) -> list[ToolFault]:
    """Complain about names that cannot be said as they are written."""
    faults = []
    for key in ("wrenches", "multipliers", "adapters", "gauges", "sockets"):
        for number, tool in enumerate(getattr(box, key)):
            found = _UNSPEAKABLE.search(tool.name)
            if found and tool.name != "?":  # a missing name was complained about
                hint = "use letters, digits, spaces and commas, because the name is spoken"
                faults.append(ToolFault(f'The name has "{found[0]}" in it', hint, (key, number, "name")))
    return faults


def _find(node: Node, place: Place) -> At:
    """Return the node at ``place``, or the last one on the way to it that is there."""
    found: At = node
    for part in place:
        if isinstance(node, MapNode) and part in node.values:
            found = node.keys[str(part)]
            node = node.values[str(part)]
        elif isinstance(node, ListNode) and isinstance(part, int) and part < len(node.items):
            found = node = node.items[part]
        else:
            return node
    return node if isinstance(node, ScalarNode) and not node.is_null else found
