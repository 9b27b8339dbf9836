"""The facts as a page of the docs and as a JSON Schema, both made from their classes.

``python -m assistant.facts.page docs/journal.md`` writes the list of facts anew between its marks in that page;
``python -m assistant.facts.page docs/journal.schema.json`` writes the schema. A test fails when they are stale.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

from assistant.facts.base import Fact
from assistant.facts.store import kinds, personal_fields

BEGIN, END = "<!-- The facts: made from their classes, see assistant/facts/page.py -->", "<!-- The end of the facts -->"


def facts_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of one line of an exported job: kind, version and fields of a fact."""
    classes = kinds()
    found, defined = msgspec.json.schema_components(tuple(classes.values()), ref_template="#/$defs/{name}")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "One entry of the journal",
        "oneOf": [
            {
                "type": "object",
                "description": cls.__doc__,
                "properties": {"kind": {"const": kind}, "version": {"const": cls.VERSION}, "fields": reference},
                "required": ["kind", "version", "fields"],
            }
            for (kind, cls), reference in zip(classes.items(), found, strict=True)
        ],
        "$defs": {name: _plain(one) for name, one in sorted(defined.items())},
    }


def _plain(definition: Any) -> Any:
    """Return a definition without what only msgspec reads."""
    if isinstance(definition, dict):
        return {key: _plain(value) for key, value in definition.items() if key != "personal"}
    return [_plain(one) for one in definition] if isinstance(definition, list) else definition


def page() -> str:
    """Return the list of facts as Markdown: inputs, what they bring about, and what the bay writes about itself."""
    parts = (
        ("What comes from outside", lambda cls: cls.IS_INPUT),
        ("What follows from it", lambda cls: not cls.IS_INPUT and not cls.STANDS_ALONE),
        ("What the bay writes about itself, or is added afterwards", lambda cls: cls.STANDS_ALONE),
    )
    lines = []
    for title, belongs in parts:
        lines += [f"### {title}", "", "| Kind | What happened | Fields |", "| --- | --- | --- |"]
        lines += [_row(kind, cls) for kind, cls in kinds().items() if belongs(cls)]
        lines.append("")
    lines += ["### Values in them", "", "| Value | What it is | Fields |", "| --- | --- | --- |"]
    lines += [f"| {cls.__name__} | {_told(cls)} | {_fields(cls)} |" for cls in _values()]
    return "\n".join([*lines, ""])


def _row(kind: str, cls: type[Fact]) -> str:
    version = f" (version {cls.VERSION})" if cls.VERSION > 1 else ""
    return f"| `{kind}`{version} | {_told(cls)} | {_fields(cls)} |"


def _told(cls: type) -> str:
    return " ".join((cls.__doc__ or "").replace("``", "`").split())


def _fields(cls: type[msgspec.Struct]) -> str:
    personal = personal_fields(cls.KIND) if issubclass(cls, Fact) else ()
    hints = get_type_hints(cls)
    told = [f"`{name}` {_type(hints[name])}{' *' if name in personal else ''}" for name in cls.__struct_fields__]
    return "; ".join(told) or "–"


def _type(hint: Any) -> str:
    """Return a type in words."""
    if get_origin(hint) in (Union, UnionType):
        kinds_of = [one for one in get_args(hint) if one is not NoneType]
        if len(kinds_of) > 4:
            return "question"
        return " or ".join([*(_type(one) for one in kinds_of), *(["null"] if NoneType in get_args(hint) else [])])
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

    for cls in kinds().values():
        for hint in get_type_hints(cls).values():
            look(hint)
    yield from (found[name] for name in sorted(found))


def page_written(path: str, text: str) -> str:
    """Return what stands in the file ``path``, whose ``text`` is given, when it is made anew."""
    if path.endswith(".json"):
        return json.dumps(facts_schema(), indent=2, ensure_ascii=False) + "\n"
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{page()}\n{END}{after}"


def _main(path: str) -> None:
    """Write the page, or the schema, anew."""
    file = Path(path)
    file.write_text(page_written(path, file.read_text("utf-8") if file.exists() else ""), "utf-8")


if __name__ == "__main__":
    _main(sys.argv[1])
