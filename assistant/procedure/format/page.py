"""The tables of keys on the pages that describe the files: made from the format, in place, between what people wrote.

``python -m assistant.procedure.format.page < docs/procedure-format.md`` prints that page with its tables made anew, and
the same with ``docs/tools.md``.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping

from assistant.procedure.format.base import Key
from assistant.procedure.format.document import FILE
from assistant.procedure.format.records import records
from assistant.procedure.format.step_list import formats
from assistant.procedure.format.steps import STEP_KEYS
from assistant.procedure.format.tool_file import TOOLS

_TABLE = r"\| key \| .*\n\|[-| ]+\|\n(?:\|.*\n)*"


def procedure_tables() -> dict[str, tuple[Key, ...]]:
    """Return the keys of every mapping of a procedure by its name; a kind of step has only those of its own."""
    own = {one.record.name: one.own for one in formats().values()}
    return {"step": STEP_KEYS} | {name: own.get(name, one.keys) for name, one in records(FILE).items()}


def tool_tables() -> dict[str, tuple[Key, ...]]:
    """Return the keys of every mapping of a tool file by its name."""
    return {name: one.keys for name, one in records(TOOLS).items()}


def key_rows(keys: tuple[Key, ...]) -> str:
    """Return the table of some keys, as it stands on a page."""
    rows = (f"| `{key.name}` | {'yes' if key.required else ''} | {key.codec.docs()} | {key.means} |\n" for key in keys)
    return "| key | must | written as | means |\n|---|---|---|---|\n" + "".join(rows)


def with_tables(page: str, tables: Mapping[str, tuple[Key, ...]]) -> str:
    """Return ``page`` with the table under each heading made anew.

    Raises:
        LookupError: a mapping has no heading with a table under it.
    """
    for name, keys in tables.items():
        made = key_rows(keys)
        place = re.compile(rf"(^### {re.escape(name)}\n(?:(?!#).*\n)*?){_TABLE}", re.MULTILINE)
        page, count = place.subn(lambda found, made=made: found[1] + made, page, count=1)  # type: ignore[misc]
        if not count:
            raise LookupError(f"the page has no heading {name} with a table of keys")
    return page


if __name__ == "__main__":
    text = sys.stdin.read()
    print(with_tables(text, tool_tables() if f"### {TOOLS.name}\n" in text else procedure_tables()), end="")
