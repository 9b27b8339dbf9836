"""What a backup takes: the data folder but for locks and logs, the bay's procedures, and what its settings name."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from assistant.files import expanded
from assistant.journal.opening import journal_path
from assistant.kept.own_procedures import own_procedures
from assistant.service.archive import DATA, ELSEWHERE, PROCEDURES
from assistant.service.noted import NOTE
from assistant.service.only_one import LOCK
from assistant.settings import Settings
from assistant.shipped import shipped
from assistant.terminal.exits import Refusal

_NAMED = ("tools", "box", "prices", "orders", "wordings")
"""The settings that name a file of the bay."""
_OWN = (LOCK, NOTE)
_LOG = "display.log"


@dataclass
class Collected:
    """The files of a backup by their names in it. ``left_out``: no plain files, or not to be read."""

    files: dict[str, Path] = field(default_factory=dict)
    elsewhere: dict[str, str] = field(default_factory=dict)
    left_out: list[Path] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How much there is to copy [bytes], as far as it can be told before."""
        return sum(path.stat().st_size for path in self.files.values() if path.exists())


def collect(folder: Path, settings: Settings, procedures: Path | None = None) -> Collected:
    """Find what is to be kept of the bay in ``folder``; the journal itself is copied in another way.

    ``procedures``: those of the bay; else those that can be started in it, if they are its own.
    """
    found = Collected()
    _walk(folder, DATA, found)
    try:
        mine = procedures or own_procedures(settings)
    except Refusal:  # the setting names a folder that is not there
        mine = folder / settings.procedures
        found.left_out.append(mine)
    if mine.is_dir() and not mine.resolve().is_relative_to(folder.resolve()) and not _is_shipped(mine):
        _walk(mine, PROCEDURES, found)
    for name in _NAMED:
        given = getattr(settings, name)
        path = folder / expanded(given) if given else None
        if path is not None and path.is_file() and not path.resolve().is_relative_to(folder.resolve()):
            found.elsewhere[name] = f"{ELSEWHERE}/{name}{path.suffix}"
            found.files[found.elsewhere[name]] = path
    return found


def holds_anything(folder: Path) -> bool:
    """Return whether the data folder has anything in it that a backup would take."""
    return journal_path(folder).exists() or next(_plain(folder), None) is not None


def _is_shipped(folder: Path) -> bool:
    return folder.resolve() == shipped("procedures").resolve()


def _walk(folder: Path, top: str, found: Collected) -> None:
    for path in _plain(folder):
        odd = not path.name.isprintable() or "\\" in path.name
        if odd or path.is_symlink() or not path.is_file() or not os.access(path, os.R_OK):
            found.left_out.append(path)
        else:
            found.files[f"{top}/{path.relative_to(folder).as_posix()}"] = path


def _plain(folder: Path) -> Iterator[Path]:
    """Yield what lies in ``folder`` and below it, but for what only a running program needs; links are not followed."""
    journal = journal_path(folder).name
    ours = {journal, f"{journal}-journal", *_OWN}
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        name = path.name
        is_lock = name.startswith(f"{journal}.") and name.endswith(".lock")
        if name.startswith((".", _LOG)) or name in ours or is_lock:
            continue
        if stat.S_ISDIR(path.lstat().st_mode):
            yield from _plain(path)
        else:
            yield path
