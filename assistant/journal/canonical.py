"""One way to write a value down: canonical JSON, so that anyone gets the same bytes and the same hash."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

LARGEST = 2**53 - 1
"""The largest whole number (and, negated, the smallest) that every JSON reader keeps exact: RFC 7493, section 2.2."""

canonical_text = json.JSONEncoder(separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode
"""Writes a value that is known to be in order already."""


def canonical(value: Any) -> str:
    """Return ``value`` as canonical JSON (RFC 8785): sorted keys, no spaces, shortest escapes.

    Floating-point numbers are refused, so that of RFC 8785 only the rules for text, whole numbers and order are needed.

    Raises:
        TypeError: the value holds a float, a whole number past ``LARGEST``, broken text, or something that is not JSON.
    """
    return canonical_text(_ordered(value))


def _ordered(value: Any) -> Any:
    """Return ``value`` with its keys in the order of RFC 8785, section 3.2.3 (by UTF-16 code units)."""
    match value:
        case None | bool():
            return value
        case str():
            return _whole_text(value)
        case int():
            if abs(value) > LARGEST:
                raise TypeError(f"a whole number in the journal may not pass {LARGEST}: {value}; send it as text")
            return value
        case Mapping():
            return {key: _ordered(value[key]) for key in _sorted(value)}
        case list() | tuple():
            return [_ordered(part) for part in value]
    raise TypeError(f"the journal keeps no {type(value).__name__}: {value!r}; send it as text")


def _sorted(keys: Iterable[Any]) -> list[str]:
    texts = []
    for key in keys:
        if not isinstance(key, str):
            raise TypeError(f"a key in a journal value must be text, not {key!r}")
        texts.append(_whole_text(key))
    if all(text.isascii() for text in texts):
        return sorted(texts)  # the same order, sooner
    return sorted(texts, key=lambda text: text.encode("utf-16-be"))


def _whole_text(text: str) -> str:
    if text.isascii():
        return text
    try:
        text.encode()
    except UnicodeEncodeError as fault:
        raise TypeError(f"the journal keeps no half characters: {text!r}") from fault
    return text
