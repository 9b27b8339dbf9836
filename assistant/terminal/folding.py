"""Lines of words for a terminal, which would break them anywhere."""

from __future__ import annotations

import os
import textwrap
from typing import TextIO

LEAST = 20
"""Columns that are always left for words, however narrow the terminal is."""


def columns_of(out: TextIO) -> int | None:
    """Return how many columns the terminal behind ``out`` has now; None where it is no terminal."""
    try:
        number = out.fileno()
        return os.get_terminal_size(number).columns if os.isatty(number) else None
    except (OSError, ValueError):
        return None


def folded(text: str, columns: int | None, *, head: str = "") -> str:
    """Return ``text`` behind ``head``, broken between words so that no line is longer than ``columns``.

    The lines after the first begin under the first word. A word that is longer than a line (a path) stays whole, so
    that it can be copied. Nothing is broken where ``columns`` is None.
    """
    if columns is None:
        return head + text
    wide = max(columns - 1 - len(head), LEAST)  # the last column is left free: some terminals break there
    lines = [
        line
        for part in text.split("\n")
        for line in textwrap.wrap(part, wide, break_long_words=False, break_on_hyphens=False) or [""]
    ]
    return head + ("\n" + " " * len(head)).join(lines)
