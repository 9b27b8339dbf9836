"""Writes the label of a tool: its name, its number, and the code by which a scan takes it."""

from __future__ import annotations

import difflib

from assistant.bay.job import read_tools_or_refuse, settings_for
from assistant.bay.refusing import guarded
from assistant.cli.printing.label import put_label
from assistant.cli.printing.options import ToolLabelOptions
from assistant.fastening.tools import ToolBox
from assistant.kept.tool_facts import tools_path
from assistant.report.label import Label, lay_out
from assistant.scan.meaning import TOOL_MARK
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


def write_tool_label(tool: str, options: ToolLabelOptions) -> Exit:
    """Write the label of the tool with the id ``tool`` of this bay as a page, as a picture, or as both."""

    def work() -> Exit:
        path = tools_path(settings_for({}).tools)
        if path is None:
            raise Refusal(f"This bay has no tool file; write one to {home() / 'tools.yaml'}.", Exit.USAGE)
        box, _ = read_tools_or_refuse(path)
        return put_label(options, lambda wide, high: tool_label(box, tool, wide, high))

    return guarded(work)


def tool_label(box: ToolBox, tool: str, wide: float, high: float) -> Label:
    """Return the label of the tool with the id ``tool`` of ``box`` on ``wide`` by ``high`` [mm].

    Raises:
        Refusal: there is no such tool, or no room for it.
    """
    names = box.names()
    if tool not in names:
        near = difflib.get_close_matches(tool, names, n=1)
        hint = f'did you mean "{near[0]}"?' if near else "assistant tools lists them."
        raise Refusal(f'The tool file has no tool with the id "{tool[:80]}": {hint}', Exit.USAGE)
    serial = box.serials()[tool]
    texts = [(names[tool], True), (tool, False), *([(f"No. {serial}", False)] if serial else [])]
    label = lay_out(f"{TOOL_MARK}{tool}", texts, wide, high)
    if isinstance(label, str):
        raise Refusal(label, Exit.USAGE)
    return label
