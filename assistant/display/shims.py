"""Shims that are proposed, on the page of the step that puts them in: each valve with its shim, and the packs. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.display.kinds import MapSpot, PageKind, Values, add_page
from assistant.display.table import shim_text

_KEY = "proposed"


def _values(view: Values, _: Mapping[int, MapSpot]) -> dict[str, Any]:
    proposed = view[_KEY]
    fitted = [_fitted(one) for one in proposed.get("fitted", ())]
    found: dict[str, Any] = {"things": [*fitted, *(line for one in proposed["packs"] for line in _pack(one))]}
    if proposed["rows"]:
        found["table"] = {
            "title": str(view["step"]["text"]),
            "each": proposed["each"],
            "columns": [{"name": name, "limits": ""} for name in proposed["columns"]],
            "rows": [{"name": row["name"], "cells": [_cell(one) for one in row["cells"]]} for row in proposed["rows"]],
        }
    return found


def _cell(shim: Values | None) -> dict[str, str]:
    state = "not needed" if shim is None or shim["way"] == "keep" else "to do"
    return {"text": "", "sign": "", "state": state, "proposed": shim_text(shim)}


_KNOWN = {"put_in": "put in", "found": "as found", "procedure": "by the procedure"}


def _fitted(one: Values) -> str:
    shims = f"{' + '.join(one['shims'])} {one['unit']}" if one["shims"] else "no shim"
    return f"{one['name']}: {shims} fitted, {_KNOWN[one['by']]}"


def _pack(one: Values) -> list[str]:
    name = str(one["name"])
    if one["way"] == "none":
        return [f"{name}: no pack can do it"]
    near = ", near a limit" if one["near"] else ""
    if one["way"] == "keep":
        return [f"{name}: the pack stays{near}"]
    moves = [
        f"{verb} {', '.join(one[key])} {one['unit']}"
        for verb, key in (("take out", "out"), ("put in", "new"))
        if one[key]
    ]
    if one["way"] == "nearest":
        return [f"{name}: no pack reaches, the nearest leaves {one['expected']}"]
    return [f"{name}: {moves[0]}", *moves[1:], f"then about {one['expected']}{near}"]


add_page(_KEY, PageKind(values=_values))
