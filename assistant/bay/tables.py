"""Plain tables for the terminal: columns as wide as what stands in them, never folded, so that a pipe can read them."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from assistant.visible import in_json, one_line


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return ``rows`` under ``head`` as lines of text; the last column is not padded."""
    lines = [list(head), *([one_line(cell) for cell in row] for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines
    )


def objects(head: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[Mapping[str, Any]]:
    """Return ``rows`` as objects for JSON, their keys made of the words of ``head``."""
    keys = [name.replace(" ", "_").replace(".", "") for name in head]
    return [dict(zip(keys, row, strict=True)) for row in rows]


def print_json(value: object) -> None:
    """Print ``value`` as JSON; nothing in it can steer a terminal."""
    print(in_json(json.dumps(value, ensure_ascii=False, indent=2, default=str)))
