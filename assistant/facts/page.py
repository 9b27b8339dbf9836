"""The facts as a page of the docs and as a JSON Schema, both made from their classes.

``python -m assistant.facts.page docs/journal.md`` writes the list of facts anew between its marks in that page;
``python -m assistant.facts.page docs/journal.schema.json`` writes the schema. A test fails when they are stale.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

from assistant.facts.asking import Question
from assistant.facts.base import Fact
from assistant.facts.store import fact_classes, personal_fields, questions

BEGIN, END = "<!-- The facts: made from their classes, see assistant/facts/page.py -->", "<!-- The end of the facts -->"


def facts_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of an exported job, as ``assistant show --json`` prints it.

    The fields of an entry are checked when it has the present version of its kind; older ones are not described.
    """
    classes = fact_classes()
    asked = tuple(questions().values())
    found, defined = msgspec.json.schema_components(
        (*classes.values(), *asked), schema_hook=_schema_of_question, ref_template="#/$defs/{name}"
    )
    shapes = {name: _strict(one) for name, one in sorted(defined.items())}
    for kind, cls in classes.items():
        for name in personal_fields(kind):
            shapes[cls.__name__]["properties"][name]["$comment"] = "Tells of a person: it can be removed."
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A job of the journal",
        "description": "What assistant show JOB --json prints; docs/journal.md tells more.",
        **_object({"entries": {"type": "array", "items": _ENTRY}, "good": _YES_OR_NO, "sentence": _TEXT}, "entries"),
        "$defs": {
            "entry": {
                **_object(
                    {
                        "entry": {"type": "integer", "minimum": 1},
                        "at": {"type": "string", "format": "date-time"},
                        "kind": {"enum": list(classes)},
                        "version": {"type": "integer", "minimum": 1},
                        "cause": {"type": "integer", "minimum": 0},
                        "data": {"type": "object"},
                    },
                    "entry", "at", "kind", "version", "cause", "data",
                ),
                "allOf": [
                    _of_kind(cls.KIND, cls.VERSION, shape) for cls, shape in zip(classes.values(), found, strict=False)
                ],
            },
            **shapes,
        },
    }  # fmt: skip


def _schema_of_question(kind: type) -> dict[str, Any]:
    """Return the schema of any question; msgspec asks for what it does not know itself."""
    if kind is not Question:
        raise NotImplementedError
    return {"anyOf": [{"$ref": f"#/$defs/{cls.__name__}"} for _, cls in sorted(questions().items())]}


_ENTRY = {"$ref": "#/$defs/entry"}
_YES_OR_NO, _TEXT = {"type": "boolean"}, {"type": "string"}
_DECIMAL = r"^-?[0-9]+(\.[0-9]+)?([Ee][+-]?[0-9]+)?$"


def _object(properties: dict[str, Any], *required: str) -> dict[str, Any]:
    return {"type": "object", "properties": properties, "required": list(required), "additionalProperties": False}


def _of_kind(kind: str, version: int, shape: dict[str, Any]) -> dict[str, Any]:
    """Return the rule that an entry of ``kind`` has no newer version, and in this one the fields of its class."""
    return {
        "if": {"properties": {"kind": {"const": kind}}},
        "then": {
            "properties": {"version": {"maximum": version}},
            "if": {"properties": {"version": {"const": version}}},
            "then": {"properties": {"data": shape}},
        },
    }


def _strict(definition: Any) -> Any:
    """Return a definition in which an object has its own fields alone, without what only msgspec reads."""
    if isinstance(definition, list):
        return [_strict(one) for one in definition]
    if not isinstance(definition, dict):
        return definition
    plain = {key: _strict(value) for key, value in definition.items() if key != "discriminator"}
    if "properties" in plain:
        plain["additionalProperties"] = False
    if plain.get("format") == "decimal":
        plain = {"type": "string", "pattern": _DECIMAL}
    if isinstance(text := plain.get("description"), str):
        plain["description"] = _told(text)
    return plain


def facts_page() -> str:
    """Return the list of facts as Markdown: inputs, what they bring about, and what the bay writes about itself."""
    parts = (
        ("What comes from outside", lambda cls: cls.IS_INPUT),
        ("What follows from it", lambda cls: not cls.IS_INPUT and not cls.STANDS_ALONE),
        ("What the bay writes about itself, or is added afterwards", lambda cls: cls.STANDS_ALONE),
    )
    lines = []
    for title, belongs in parts:
        lines += [f"### {title}", "", "| Kind | What happened | Fields |", "| --- | --- | --- |"]
        lines += [_row(kind, cls) for kind, cls in fact_classes().items() if belongs(cls)]
        lines.append("")
    lines += ["### Values in them", "", "| Value | What it is | Fields |", "| --- | --- | --- |"]
    lines += [f"| {cls.__name__} | {_told(cls.__doc__)} | {_fields(cls)} |" for cls in _values()]
    return "\n".join([*lines, ""])


def _row(kind: str, cls: type[Fact]) -> str:
    version = f" (version {cls.VERSION})" if cls.VERSION > 1 else ""
    return f"| `{kind}`{version} | {_told(cls.__doc__)} | {_fields(cls)} |"


def _told(doc: str | None) -> str:
    """Return a docstring in one line, in the words of the journal."""
    text = re.sub(r":class:`(\w+)`", lambda found: f"`{_kind_of(found[1])}`", (doc or "").replace("``", "`"))
    return re.sub(r"\bNone\b", "null", " ".join(text.split()))


def _kind_of(name: str) -> str:
    return next((kind for kind, cls in fact_classes().items() if cls.__name__ == name), name)


def _fields(cls: type[msgspec.Struct]) -> str:
    personal = personal_fields(cls.KIND) if issubclass(cls, Fact) else ()
    hints = get_type_hints(cls)
    tag = cls.__struct_config__
    told = [f'`{tag.tag_field}` "{tag.tag}"'] if tag.tag_field else []
    told += [f"`{name}` {_type(hints[name])}{' *' if name in personal else ''}" for name in cls.__struct_fields__]
    return "; ".join(told) or "–"


def _type(hint: Any) -> str:
    """Return a type in words."""
    if get_origin(hint) in (Union, UnionType):
        kinds_of = [one for one in get_args(hint) if one is not NoneType]
        told = [_type(one) for one in kinds_of]
        return " or ".join([*told, *(["null"] if NoneType in get_args(hint) else [])])
    if hint is Question:
        return "question"
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        return f"list of {_type(inner[0])}" if inner[-1] is Ellipsis else f"({', '.join(map(_type, inner))})"
    if get_args(hint):
        return f"{_type(get_args(hint)[1])} by {_type(get_args(hint)[0])}"
    if isinstance(hint, type) and issubclass(hint, Enum):
        return " / ".join(str(one.value) for one in hint)
    name = str(hint.__name__)
    return {"str": "text", "int": "number", "bool": "yes or no", "Decimal": "decimal"}.get(name, name)


def _values() -> Iterator[type[msgspec.Struct]]:
    """Yield the classes of values that facts hold, once each, by name."""
    found: dict[str, type[msgspec.Struct]] = {}

    def look(hint: Any) -> None:
        for one in get_args(hint):
            look(one)
        if isinstance(hint, type) and issubclass(hint, msgspec.Struct) and hint.__name__ not in found:
            found[hint.__name__] = hint
            for inner in get_type_hints(hint).values():
                look(inner)

    for cls in fact_classes().values():
        for hint in get_type_hints(cls).values():
            look(hint)
    for question in questions().values():
        look(question)
    yield from (found[name] for name in sorted(found))


def page_written(path: str, text: str) -> str:
    """Return what stands in the file ``path``, whose ``text`` is given, when it is made anew."""
    if path.endswith(".json"):
        return json.dumps(facts_schema(), indent=1, ensure_ascii=False) + "\n"
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{facts_page()}\n{END}{after}"


def _main(path: str) -> None:
    """Write the page, or the schema, anew."""
    file = Path(path)
    file.write_text(page_written(path, file.read_text("utf-8") if file.exists() else ""), "utf-8")


if __name__ == "__main__":
    _main(sys.argv[1])
