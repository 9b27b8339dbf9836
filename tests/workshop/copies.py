"""A bay's copy of the library without a store: as a refresh would have left it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from assistant.workshop.library import LibraryItem, RevisionWithdrawn
from assistant.workshop.library_copy import FOLDER, INDEX, index_bytes
from assistant.workshop.library_file import prepare_file

WITHDRAWN_MS = 1_796_083_200_000
"""Noon of the first of December 2026, in UTC."""


def copy_of(home: Path, files: Sequence[Path], withdrawn: Mapping[tuple[str, str], str] | None = None) -> Path:
    """Write the copy in the data folder ``home``; ``withdrawn`` has the reason for each id and revision. Return it."""
    folder = home / FOLDER
    items: list[LibraryItem] = []
    for path in files:
        prepared = prepare_file(path, unapproved=True).files
        for one in prepared:
            reason = (withdrawn or {}).get((one.id, one.revision))
            item = LibraryItem(
                kind=one.kind, id=one.id, revision=one.revision, number=len(items) + 1, title=one.title,
                sha256=sha256(one.content).hexdigest(), size=len(one.content), approved=one.approved,
                approved_by=one.approved_by, approved_on=one.approved_on, shows=one.shows,
                withdrawn=None if reason is None else RevisionWithdrawn(reason, WITHDRAWN_MS, "Kim Example"),
            )  # fmt: skip
            items.append(item)
            for name, content in [(item.file, one.content), *((shown.id, shown.content) for shown in prepared[:-1])]:
                (folder / item.sha256).mkdir(parents=True, exist_ok=True)
                (folder / item.sha256 / name).write_bytes(content)
    (folder / INDEX).write_bytes(index_bytes("alder", items))
    return folder
