"""Tools of the tests: a box from plain mappings, through the file that they would stand in."""

from __future__ import annotations

import json
from typing import Any

from assistant.fastening.tools import ToolBox
from assistant.procedure.format.tool_file import ToolReading, read_tool_text


def tool_reading(given: Any) -> ToolReading:
    """Read the tool file that says ``given``; JSON is YAML too."""
    return read_tool_text(json.dumps(given, ensure_ascii=False, default=str).encode(), "tools.yaml")


def tool_box(given: Any) -> ToolBox:
    """Return the tools of ``given``, which must be in order."""
    reading = tool_reading(given)
    assert reading.box is not None, reading.findings
    return reading.box
