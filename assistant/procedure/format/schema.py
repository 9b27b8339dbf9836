"""The file format as a JSON Schema (draft 2020-12), made from the tables of keys, for editors that complete and check.

It is what an editor can know: keys, which of them must be there, and the form of values. Whether the values fit
together is the business of the rules.
"""

from __future__ import annotations

import json
from typing import Any

from assistant.procedure.format.codecs import Form
from assistant.procedure.format.document import FILE
from assistant.procedure.rules.table import RULES, rule_id


def json_schema() -> dict[str, Any]:
    """Return the schema of a whole procedure file."""
    forms: dict[str, Form] = {}
    FILE.schema(forms)
    known = {"enum": sorted(rule_id(rule) for rule in RULES)}
    forms["rule"] = {"anyOf": [known, {"$ref": "#/$defs/id"}]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Work procedure",
        "description": "A procedure that the step assistant reads aloud. Its rules are run by assistant check.",
        **forms.pop(FILE.name),
        "$defs": dict(sorted(forms.items())),
    }


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(json_schema(), ensure_ascii=False, indent=2) + "\n"
