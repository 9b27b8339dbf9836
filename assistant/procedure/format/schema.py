"""The files as JSON Schemas (draft 2020-12), made from the tables of keys, for editors that complete and check.

It is what an editor can know: keys, which of them must be there, and the form of values. Whether the values fit
together is the business of the rules.
"""

from __future__ import annotations

import json
from typing import Any

from assistant.procedure.format.base import Form
from assistant.procedure.format.document import FILE
from assistant.procedure.format.records import KeyTable
from assistant.procedure.format.tool_file import TOOLS
from assistant.procedure.rules.table import said_rules


def json_schema() -> dict[str, Any]:
    """Return the schema of a whole procedure file."""
    schema = _schema(
        FILE, "Work procedure", "A procedure that the step assistant reads aloud. Its rules are run by assistant check."
    )
    known = {"enum": sorted(said_rules())}
    schema["$defs"]["rule"] = {"anyOf": [known, {"$ref": "#/$defs/id"}]}
    return schema


def tool_schema() -> dict[str, Any]:
    """Return the schema of a tool file."""
    return _schema(TOOLS, "Tools of a bay", "The tools that the step assistant chooses from. See docs/tools.md.")


def schema_text(schema: dict[str, Any]) -> str:
    """Return a schema as the text of its file."""
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


def _schema(whole: KeyTable[Any], title: str, description: str) -> dict[str, Any]:
    forms: dict[str, Form] = {}
    name = whole.schema(forms)["$ref"].rpartition("/")[2]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        "description": description,
        **forms.pop(name),
        "$defs": dict(sorted(forms.items())),
    }
