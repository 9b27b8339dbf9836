"""Which wordings this bay's papers have: those of the settings, of the data folder, or the newest of the library."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.files import expanded
from assistant.procedure.format.wordings_file import WordingsReading, read_wordings_file
from assistant.procedure.wordings import NO_TEXT, NO_WORDINGS, OwnPaper, OwnText, Wordings
from assistant.settings import Settings, SettingsFault, home, load_settings, settings_path
from assistant.terminal.streams import warn
from assistant.workshop.library import LibraryKind
from assistant.workshop.library_copy import bay_library

WORDINGS_FILE = "wordings.txt"
"""What the file is called in the data folder where no setting names another one."""
_WITHOUT = "Papers come without the workshop's own text until then."


@dataclass(frozen=True, slots=True)
class OwnWordings:
    """The wordings of this bay and the file that they are from, None where there is none.

    ``fault`` says in a sentence why that file is not used; then there is no text.
    """

    wordings: Wordings = NO_WORDINGS
    path: Path | None = None
    fault: str = ""


def wordings_path(setting: str, *, library: bool = True) -> Path | None:
    """Return the file: ``setting`` (from the data folder if it is relative), the usual one, or the library's newest.

    Without ``library``, what the copy of that has is left out.
    """
    if setting:
        return home() / expanded(setting)
    usual = home() / WORDINGS_FILE
    if usual.exists() or not library:
        return usual if usual.exists() else None
    return _newest_path()


def _newest_path() -> Path | None:
    library = bay_library()
    published = (one for one in library.items if one.kind is LibraryKind.WORDINGS and one.withdrawn is None)
    item = max(published, key=lambda one: one.number, default=None)
    return None if item is None else library.path(item)


def own_wordings(settings: Settings, *, library: bool = True) -> OwnWordings:
    """Return the wordings that ``settings`` lead to, or the copy of the ``library``.

    What is wrong with them is said, and raises nothing.
    """
    path = wordings_path(settings.wordings, library=library)
    if path is None:
        return OwnWordings()
    damage = None if settings.wordings else bay_library().damage(path)
    if damage is not None:
        return OwnWordings(path=path, fault=f"{damage.sentence}.")
    return as_read(read_wordings_file(path), path)


def as_read(reading: WordingsReading, path: Path) -> OwnWordings:
    """Return what came of ``reading`` the file at ``path``, or what it is called."""
    if reading.wordings is not None:
        return OwnWordings(reading.wordings, path)
    first, *more = reading.findings
    where = "" if first.text.startswith(first.file) else f"{first.file}, line {first.line}: "
    others = f" So much more is to be mended there: {len(more)}." if more else ""
    return OwnWordings(path=path, fault=f"{where}{first.text}{others}")


def own_text(paper: OwnPaper, found: OwnWordings | None = None, tell: Callable[[str], object] = warn) -> OwnText:
    """Return what stands on ``paper`` by the wordings ``found``, or by those of this bay.

    Where they cannot be used it is nothing, and ``tell`` gets a sentence.
    """
    found = found or known_wordings()
    if found.fault:
        tell(f"{found.fault} {_WITHOUT}")
        return NO_TEXT
    return found.wordings.on(paper)


def known_wordings(*, library: bool = True) -> OwnWordings:
    """Return the wordings of this bay as it is set now, also by its copy of the ``library``.

    Settings that cannot be read are a fault, and stop nothing.
    """
    try:
        return own_wordings(load_settings(settings_path()), library=library)
    except SettingsFault as fault:
        return OwnWordings(fault=fault.sentence)
