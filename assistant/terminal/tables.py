"""Plain tables: columns as wide as what stands in them; on a terminal as wide as it is, cells broken between words.

Where they go into a pipe or a file nothing is folded, so that a program can read a line for each row.
"""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any

from assistant.terminal.folding import columns_of
from assistant.visible import in_json, one_line


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return ``rows`` under ``head`` as lines of text; the last column is not padded."""
    lines = [list(head), *([one_line(cell) for cell in row] for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    columns = columns_of(sys.stdout)
    if columns is not None:
        widths = _narrowed(lines, widths, columns - 1 - 2 * (len(head) - 1))
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for row in lines
        for line in _folded(row, widths)
    )


def _narrowed(lines: Sequence[Sequence[str]], widths: Sequence[int], room: int) -> list[int]:
    """Return ``widths`` made narrower, the widest first, until they fit ``room``, or no word could stay whole."""
    narrow = list(widths)
    least = [max(len(word) for line in lines for word in (line[at].split() or [""])) for at in range(len(widths))]
    while sum(narrow) > room:
        loose = [at for at in range(len(narrow)) if narrow[at] > least[at]]
        if not loose:
            break
        narrow[max(loose, key=narrow.__getitem__)] -= 1
    return narrow


def _folded(row: Sequence[str], widths: Sequence[int]) -> Iterator[Sequence[str]]:
    """Yield a row as lines, each cell broken between words."""
    cells = [
        [cell] if len(cell) <= width else textwrap.wrap(cell, width, break_long_words=False, break_on_hyphens=False)
        for cell, width in zip(row, widths, strict=True)
    ]
    yield from zip_longest(*cells, fillvalue="")


def objects(head: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[Mapping[str, Any]]:
    """Return ``rows`` as objects for JSON, their keys made of the words of ``head``."""
    keys = [name.replace(" ", "_").replace(".", "") for name in head]
    return [dict(zip(keys, row, strict=True)) for row in rows]


def print_json(value: object) -> None:
    """Print ``value`` as JSON; nothing in it can steer a terminal."""
    print(in_json(json.dumps(value, ensure_ascii=False, indent=2, default=str)))
