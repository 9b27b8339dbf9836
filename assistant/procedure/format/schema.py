"""The file format as a JSON Schema (draft 2020-12), made from the tables of keys, for editors that complete and check.

It is what an editor can know: keys, which of them must be there, and the form of values. Whether the values fit
together is the business of the rules. Where the reader is generous (units have many spellings) the schema is too: what
``assistant check`` takes must not be marked in the editor.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from assistant.procedure.format.fields import MOST_TEXT
from assistant.procedure.format.keys import KINDS, TABLES, Key
from assistant.procedure.model import HazardScheme, SignalWord, TimerKind
from assistant.procedure.rules.table import RULES, rule_id
from assistant.procedure.steps.tighten import StagePurpose

_NUMBER = r"\d+(?:\.\d+)?"
_BOLTS = r"[1-9]\d{0,2}(?:\s*(?:-|–|to)\s*[1-9]\d{0,2})?"
_BOLT_LIST = rf"{_BOLTS}(?:\s*,\s*{_BOLTS})*"


def _matching(pattern: str, *examples: str) -> dict[str, Any]:
    return {"type": "string", "pattern": rf"^\s*(?:{pattern})\s*$", "examples": list(examples)}


def _number(**limits: float) -> dict[str, Any]:
    """Return the schema of a number; a text is taken too, because a writer may put quotes round it."""
    return {"anyOf": [{"type": "number", **limits}, {"type": "string", "pattern": rf"^-?{_NUMBER}$"}]}


def _bolts(*words: str) -> dict[str, Any]:
    text = "|".join((_BOLT_LIST, *words))
    item = {"anyOf": [{"type": "integer", "minimum": 1, "maximum": 999}, _matching(_BOLT_LIST)]}
    several = {"type": "array", "items": item, "minItems": 1}
    return {"anyOf": [item["anyOf"][0], _matching(text, "1-6"), several]}


_UNIT = r"\s*[^\s\d].*"
_LIMITS = rf"-?{_NUMBER}\s+to\s+-?{_NUMBER}{_UNIT}|at (?:least|most)\s+-?{_NUMBER}{_UNIT}|(?:±|\+/-)\s*{_NUMBER}\s*\S.*"
_INTERVAL = rf"{_NUMBER}\s*(?:km|mi|miles?|h|hours?|months?|years?)"
_TURN = rf"{_NUMBER}\s*(?:°|[Dd]eg\w*|[Tt]urns?|[Rr]ev\w*)|\d+\s*/\s*\d+\s*(?:of a )?(?:[Tt]urn|[Rr]ev)\w*"

_VALUES: Mapping[str, dict[str, Any]] = {
    "text": {"type": ["string", "number", "boolean"], "minLength": 1, "maxLength": MOST_TEXT},
    "texts": {"type": "array", "items": {"$ref": "#/$defs/text"}},
    "id": {"type": "string", "pattern": "^[a-z][a-z0-9-]{0,39}$", "examples": ["hub-drive"]},
    "ids": {"type": "array", "items": {"$ref": "#/$defs/id"}},
    "yes-no": {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]},
    "number": _number(exclusiveMinimum=0),
    "coordinate": _number(),
    "friction": _number(minimum=0.04, maximum=0.4),
    "whole": {"anyOf": [{"type": "integer", "minimum": 1}, {"type": "string", "pattern": "^[1-9][0-9]*$"}]},
    "torque": _matching(rf"{_NUMBER}\s*(?!nm\s*$|NM\s*$|nM\s*$)[^\s\d].*", "40 N·m", "33 lbf·ft", "80 lbf·in"),
    "angle": _matching(_TURN, "90°", "1/4 turn"),
    "length": _matching(rf"{_NUMBER}\s*[^\s\d].*", "50 mm"),
    "time": _matching(rf"(?:{_NUMBER}\s*[A-Za-z]+\s*){{1,4}}", "90 s", "10 min", "1 h 30 min"),
    "limits": _matching(_LIMITS, "0.20 to 0.30 mm", "at least 2 bar", "at most 0.05 mm"),
    "bolts": _bolts(),
    "run-bolts": _bolts("all", "order", "reverse"),
    "order": _bolts("draft"),
    "rows": {"type": "array", "items": {"$ref": "#/$defs/bolts"}, "minItems": 1},
    "rule": {"anyOf": [{"enum": sorted(rule_id(rule) for rule in RULES)}, {"$ref": "#/$defs/id"}]},
    "date": {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$", "examples": ["2026-01-31"]},
    "interval": _matching(rf"{_INTERVAL}(?:\s*,\s*{_INTERVAL}){{0,2}}", "60000 km, 48 months", "500 h"),
    "scheme": {"enum": [scheme.value for scheme in HazardScheme]},
    "values": {"enum": ["invented"]},
    "purpose": {"enum": [purpose.value for purpose in StagePurpose]},
}
"""The forms of values, by their name in ``$defs``."""

_BY_KEY = {
    "id": "id", "spare": "id", "starts": "id", "before": "id", "timer": "id", "tool": "id", "group": "id", "out": "id",
    "in": "id", "rule": "rule", "at": "id", "refits": "id", "tools": "ids", "supplies": "ids", "single_use": "yes-no",
    "lock": "id", "unlock": "id", "against": "ids", "turns": "yes-no",
    "to_yield": "yes-no", "answer": "yes-no", "quantity": "number", "book_time": "time", "minutes": "number",
    "diameter": "number", "width": "number", "height": "number", "x": "coordinate", "y": "coordinate",
    "friction": "friction", "bolt": "whole", "repeat_from": "whole", "torque": "torque", "drag": "torque",
    "angle": "angle", "swing": "angle", "start": "angle", "length": "length", "open": "time", "cure": "time",
    "cool": "time", "limits": "limits", "bolts": "bolts", "circle": "bolts", "rows": "rows", "order": "order",
    "on": "date", "hazard_scheme": "scheme", "values": "values", "due": "interval", "purpose": "purpose",
    "conditions": "texts",
}  # fmt: skip
"""The form of a value by its key; what is not here, or in the maps below, is a text."""
_BY_TABLE = {
    ("run", "bolts"): "run-bolts",
    ("count step", "count"): "text",
    ("person", "count"): "whole",
    ("fit step", "quantity"): "whole",
}
_MAPPINGS = {
    ("file", "procedure"): "procedure",
    ("file", "preliminary"): "preliminary",
    ("file", "approval"): "approval",
    ("group", "layout"): "layout",
    ("stage", "adapter"): "adapter",
    ("run", "adapter"): "adapter",
}
_LISTS = {
    ("file", "groups"): ("group", 0),
    ("file", "timers"): ("timer", 0),
    ("file", "chapters"): ("chapter", 1),
    ("file", "closing"): ("step", 1),
    ("file", "waivers"): ("waiver", 0),
    ("preliminary", "persons"): ("person", 0),
    ("preliminary", "support_equipment"): ("support equipment", 0),
    ("preliminary", "supplies"): ("supply", 0),
    ("preliminary", "spares"): ("spare", 0),
    ("preliminary", "safety"): ("hazard", 0),
    ("group", "hidden"): ("hidden bolt", 0),
    ("layout", "spots"): ("spot", 1),
    ("chapter", "steps"): ("step", 1),
    ("step", "hazards"): ("hazard", 0),
    ("tighten step", "stages"): ("stage", 1),
    ("stage", "runs"): ("run", 1),
}
_EXACTLY_ONE = {
    "hazard": [word.value for word in SignalWord],
    "timer": [kind.value for kind in TimerKind],
    "count step": ["out", "in"],
    "layout": ["circle", "rows", "spots"],
}
"""Of these keys a mapping has exactly one."""


def json_schema() -> dict[str, Any]:
    """Return the schema of a whole procedure file."""
    steps = [_ref(f"{kind} step") for kind in KINDS]
    mappings = {_name(table): _mapping(table, keys) for table, keys in TABLES.items() if table not in {"file", "step"}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Work procedure",
        "description": "A procedure that the step assistant reads aloud. Its rules are run by assistant check.",
        **_mapping("file", TABLES["file"]),
        "$defs": {**_VALUES, **mappings, "step": {"type": "object", "oneOf": steps}},
    }


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(json_schema(), ensure_ascii=False, indent=2) + "\n"


def _mapping(table: str, keys: tuple[Key, ...]) -> dict[str, Any]:
    made: dict[str, Any] = {
        "type": "object",
        "properties": {key.name: {"description": key.means, **_form(table, key.name)} for key in keys},
        "required": [key.name for key in keys if key.required],
        "additionalProperties": False,
    }
    if table in _EXACTLY_ONE:
        made["oneOf"] = [{"required": [name]} for name in _EXACTLY_ONE[table]]
    return made


def _form(table: str, key: str) -> dict[str, Any]:
    where = (table, key)
    if where not in _LISTS and ("step", key) in _LISTS and table.endswith(" step"):
        where = ("step", key)
    if where in _LISTS:
        of, least = _LISTS[where]
        return {"type": "array", "items": _ref(of), **({"minItems": least} if least else {})}
    return _ref(_MAPPINGS.get(where) or _BY_TABLE.get(where) or _BY_KEY.get(key, "text"))


def _ref(table: str) -> dict[str, str]:
    return {"$ref": f"#/$defs/{_name(table)}"}


def _name(table: str) -> str:
    return table.replace(" ", "-")
