"""Text of people as it may be shown: nothing in it can hide, turn or overwrite what stands beside it. Pure."""

from __future__ import annotations

import re
import unicodedata

UNSEEN = (
    "\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb"
    "\U000e0000-\U000e007f"
)
"""Control characters, with which a terminal is steered, and those of Unicode that turn or hide the text around them.

As ranges of a regular expression; tab and line feed are left out.
"""
_UNSEEN = re.compile(f"[{UNSEEN}]")


def visible(text: str) -> str:
    """Return ``text`` with each character that cannot be seen, or turns what stands beside it, written as ‹U+202E›."""
    return _UNSEEN.sub(lambda found: f"‹U+{ord(found[0]):04X}›", unicodedata.normalize("NFC", text))


def one_line(text: str) -> str:
    """Return ``text`` as :func:`visible` does, on one line, so that it cannot pretend to be another line."""
    return visible(" ".join(text.split()))


def in_json(text: str) -> str:
    """Return ``text``, which is JSON, with each such character escaped: it stays the same JSON."""
    return _UNSEEN.sub(_escaped, text)


def _escaped(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be")
    return "".join(f"\\u{units[at]:02x}{units[at + 1]:02x}" for at in range(0, len(units), 2))


_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
"""What a spreadsheet may take for a formula at the beginning of a cell; a quote before it makes it text."""


def cell(text: str) -> str:
    """Return ``text`` as it stands in a cell of a CSV file, which may go to a spreadsheet or to a terminal."""
    shown = visible(text)
    return f"'{shown}" if text.startswith(_FORMULA) else shown
