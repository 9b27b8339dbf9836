"""The shapes of all facts, by kind and version: ``python -m tests.facts.shapes`` notes those that are new.

The shape of a class is what its fields hold, down to the last value. A shape that was noted does not change: who
changes a class raises its ``VERSION``. Only a code or a question more is no change, for what is stored holds none of
them yet. (A field that means something else, in the same shape, is a change as well; that cannot be seen from here.)
"""

from __future__ import annotations

import json
import sys
from functools import cache
from pathlib import Path
from typing import Any

from assistant.facts.page import facts_schema
from assistant.facts.store import fact_classes

KEPT = Path(__file__).with_name("shapes.json")
_TOLD = {"title", "description", "default", "required", "$comment"}
"""What a schema says beside the shape; a stored entry has every field, so it does not matter which may be left out."""

Shapes = dict[str, dict[str, Any]]


@cache
def present() -> Shapes:
    """Return the shape of each kind, by its present version."""
    defined = facts_schema()["$defs"]
    return {
        kind: {str(cls.VERSION): _shape(defined[cls.__name__], defined)} for kind, cls in sorted(fact_classes().items())
    }


def _shape(schema: Any, defined: dict[str, Any]) -> Any:
    if isinstance(schema, list):
        return [_shape(one, defined) for one in schema]
    if not isinstance(schema, dict):
        return schema
    if "$ref" in schema:
        return _shape(defined[schema["$ref"].rsplit("/", 1)[1]], defined)
    fields = schema.get("properties", {})
    plain = {key: _shape(value, defined) for key, value in schema.items() if key not in _TOLD and key != "properties"}
    return {**plain, "properties": {name: _shape(one, defined) for name, one in fields.items()}} if fields else plain


def fits(old: Any, new: Any) -> bool:
    """Return whether all that was stored in the shape ``old`` has the shape ``new`` too, and means the same."""
    if isinstance(old, dict) and isinstance(new, dict):
        if set(old) != set(new):
            return False
        return all(_part_fits(key, old[key], new[key]) for key in old)
    return bool(old == new)


def _part_fits(key: str, old: Any, new: Any) -> bool:
    if key == "enum":
        return set(old) <= set(new)
    if key == "anyOf":
        return all(any(fits(one, other) for other in new) for one in old)
    return fits(old, new)


def kept() -> Shapes:
    """Return the shapes that were noted."""
    found: Shapes = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else {}
    return found


def note() -> None:
    """Add the shapes of new kinds and versions, and what is more in those that are there."""
    noted = kept()
    for kind, versions in present().items():
        for version, shape in versions.items():
            old = noted.setdefault(kind, {}).setdefault(version, shape)
            if not fits(old, shape):
                sys.exit(
                    f'"{kind}" has another shape than its version {version}: raise its VERSION, and add an upcaster.'
                )
            noted[kind][version] = shape
    lines = [f" {json.dumps(kind)}: {json.dumps(noted[kind], ensure_ascii=False)}" for kind in sorted(noted)]
    KEPT.write_text("{\n" + ",\n".join(lines) + "\n}\n", "utf-8")


if __name__ == "__main__":
    note()
