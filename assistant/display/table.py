"""A table of readings on the page: what was read off, what is next, and what is out of limits, told by signs. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.display.kinds import MapSpot, PageKind, Values, add_page

_KEY = "table"
_SIGNS = {"within": "✓", "below": "▼", "above": "▲"}
"""What stands beside a reading, so that its colour need not be seen: inside, below or above its limits."""


def _cells(table: Values) -> list[tuple[Values, Values, Values]]:
    """Return every place with its row and its column."""
    return [
        (row, column, cell)
        for row in table["rows"]
        for column, cell in zip(table["columns"], row["cells"], strict=True)
    ]


def _row_name(table: Values, row: Values) -> str:
    return f"{table['each']} {row['name']}" if row["name"].isdigit() else str(row["name"])


def _head(column: Values) -> str:
    return f"{column['name']}, as {column['when']}" if column["when"] else str(column["name"])


def _now(table: Values) -> str:
    """Return the place that is next; "" when all are read off."""
    for row, column, cell in _cells(table):
        if cell["now"]:
            name = f"{_row_name(table, row)}, {_head(column)}"
            return name[:1].upper() + name[1:]
    return ""


def _headline(view: Values) -> str:
    """Return how much is out of limits when all is read off; before that the place is what stands large."""
    table = view[_KEY]
    off = sum(cell["side"] not in (None, "within") for _, _, cell in _cells(table))
    ways = [cell["shim"]["way"] for _, _, cell in _cells(table) if "shim" in cell]
    if ways and not off and not _now(table):  # a shim is right or wrong by the clearance that it leaves
        changed = sum(way != "keep" for way in ways)
        return f"Other shims: {changed}" if changed else "Every shim can stay"
    return "" if _now(table) else f"{off} out of limits" if off else "All within limits"


def _values(view: Values, _: Mapping[int, MapSpot]) -> dict[str, Any]:
    table = view[_KEY]
    return {
        _KEY: {
            "title": _now(table) or str(view["step"]["text"]),
            "each": table["each"],
            "columns": [{"name": _head(one), "limits": _limits(one)} for one in table["columns"]],
            "rows": [{"name": row["name"], "cells": [_shown(cell) for cell in row["cells"]]} for row in table["rows"]],
        }
    }


def _limits(column: Values) -> str:
    low, high, unit = column["low"], column["high"], column["unit"]
    if low is None or high is None:
        return f"at most {high} {unit}" if low is None else f"at least {low} {unit}"
    return f"{low} to {high} {unit}"


def _shown(cell: Values) -> dict[str, str]:
    """Return one place: its text, its sign, and its state in a word, which is also the name of its looks."""
    if cell["left_out"]:
        text, sign, state = "", "⊘", "left out"
    elif cell["value"] is None:
        text, sign, state = "", "", "not needed" if cell.get("shim", {}).get("way") == "keep" else "to do"
    else:
        text, sign, state = cell["value"], _SIGNS[cell["side"]], cell["side"]
    if cell["now"]:
        sign, state = "▶", "now"
    return {"text": text, "sign": sign, "state": state, "proposed": shim_text(cell.get("shim"))}


_WAYS = {"box": "box", "buy": "buy"}


def shim_text(shim: Values | None) -> str:
    """Return the shim that is proposed and where it comes from, as short as can be; "" where nothing is."""
    if shim is None:
        return ""
    if shim["way"] == "keep":
        return "stays"
    return (
        "none fits"
        if shim["way"] == "none"
        else f"→ {shim['size']} {_WAYS.get(shim['way']) or 'from ' + shim['source']}"
    )


def _announced(picture: Values) -> Sequence[str]:
    return [picture[_KEY]["title"], picture["headline"]]


add_page(_KEY, PageKind(headline=_headline, values=_values, announced=_announced))
