"""A procedure as the text of a file, by the tables that read it: the round trips of the tests go through it."""

from __future__ import annotations

from typing import Any

from assistant.procedure.format.document import FILE
from assistant.procedure.format.tree import write_tree
from assistant.procedure.model import Procedure


def to_yaml(procedure: Procedure) -> str:
    """Return ``procedure`` as the text of a file; comments are no part of it."""
    file: Any = FILE.write(procedure)
    return "\n".join(write_tree({key: value}) for key, value in file.items())
