"""Plain tables for the terminal: columns as wide as what stands in them, never folded, so that a pipe can read them."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.visible import one_line


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return ``rows`` under ``head`` as lines of text; the last column is not padded."""
    lines = [list(head), *([one_line(cell) for cell in row] for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines
    )
