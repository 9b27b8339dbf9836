"""The text of a draft: YAML with comments that tell its author what to write, and where a person must decide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from assistant.procedure.format.tree import write_tree

TODO = "TODO"
"""Begins every comment, and stands for every value, that a person must still write."""
_WIDTH = 110


def comment(text: str, indent: int = 0) -> str:
    """Return ``text`` as lines of comment."""
    room = _WIDTH - indent - 2
    lines = textwrap.wrap(" ".join(text.split()), room, break_long_words=False, break_on_hyphens=False) or [""]
    return "".join(f"{' ' * indent}# {line}".rstrip() + "\n" for line in lines)


def todo(text: str, indent: int = 0) -> str:
    """Return a comment about what a person must still decide."""
    return comment(f"{TODO}: {text}", indent)


def example(what: str, value: Any, indent: int = 0) -> str:
    """Return ``value`` as lines of comment below one that says ``what`` it shows; an empty line ends them."""
    lines = tree(value).splitlines()
    return comment(f"{what}, example:", indent) + "".join(f"{' ' * indent}# {line}\n" for line in lines) + "\n"


def tree(value: Any, indent: int = 0) -> str:
    """Return mappings, lists and texts as YAML, indented."""
    if isinstance(value, dict):
        # One key a line, also where the writer would put a short mapping into braces.
        pairs = (write_tree({key: one}) for key, one in value.items())
        text = "".join(f"{pair[1:-2]}\n" if pair.startswith("{") else pair for pair in pairs)
    else:
        text = write_tree(value)
    return textwrap.indent(text, " " * indent)


def entry(value: Any, indent: int, remarks: Sequence[str] = ()) -> str:
    """Return one entry of a list with what a person must decide about it above."""
    return "".join(todo(text, indent) for text in remarks) + tree([value], indent)


def section(key: str, entries: Iterable[str], above: str = "") -> str:
    """Return a list under ``key``, of entries that were written already; an empty one is written as such."""
    body = "".join(entries)
    return above + (f"{key}:\n{body}" if body else f"{key}: []\n")


def ident(words: str, taken: Iterable[str]) -> str:
    """Make an id of ``words`` that none of the others has.

    >>> ident("Long bolts, M8", ("long-bolts-m8",)), ident("42", ())
    ('long-bolts-m8-2', 'a-42')
    """
    plain = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in words.lower())
    name = "-".join(plain.split())[:36].strip("-") or "one"
    name = name if name[0].isalpha() else f"a-{name}"
    others = set(taken)
    number = 1
    made = name
    while made in others:
        number += 1
        made = f"{name}-{number}"
    return made
