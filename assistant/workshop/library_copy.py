"""A bay's own copy of the library: what it works from, with or without a network.

``FOLDER`` of the data folder has a folder for each content, named by its SHA-256, with the file in it; the pictures of
a procedure lie beside it. ``index.json`` says what there is; it is replaced whole. ``now`` has the newest tool files,
price lists and wordings under their own names, for settings to name.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path
from typing import Any

from assistant.faults import Fault
from assistant.files import FileFault, read_file
from assistant.settings import home
from assistant.shipped import procedure_at
from assistant.workshop.library import LibraryItem, LibraryKind, RevisionWithdrawn, item_fault, newest

FOLDER, INDEX, NOW = "library", "index.json", "now"
_FORMAT = 1
_MOST_INDEX_BYTES = 20_000_000
_Stamp = tuple[int, int, int]
_HASHES: dict[Path, tuple[_Stamp, str]] = {}
"""What files of libraries this process looked at, as they were then, and their hashes: else each look reads all."""


class LocalLibrary:
    """Reads the copy in ``folder``; it changes nothing and raises nothing for what is damaged there."""

    def __init__(self, folder: Path) -> None:
        """Read the copy in ``folder``, whether there is one or not."""
        self.folder = folder
        self._read: tuple[_Stamp | None, str, Mapping[tuple[str, str, str], LibraryItem]] = None, "", {}

    @property
    def items(self) -> Sequence[LibraryItem]:
        """All that the index names, the newest first."""
        return sorted(self._index()[1].values(), key=lambda one: -one.number)

    @property
    def workshop(self) -> str:
        """Whose copy it is; "" where there is none."""
        return self._index()[0]

    @property
    def asked_at(self) -> float | None:
        """When the store was asked last and answered [s since the epoch]; None where there is no copy."""
        try:
            return (self.folder / INDEX).stat().st_mtime
        except OSError:
            return None

    def item(self, kind: LibraryKind, name: str, revision: str) -> LibraryItem | None:
        """Return one revision; None where it is not in the copy."""
        return self._index()[1].get((kind.value, name, revision))

    def procedures(self) -> Sequence[LibraryItem]:
        """Return the newest revision of each procedure that is not withdrawn, by id."""
        items = self.items
        names = sorted({one.id for one in items if one.kind is LibraryKind.PROCEDURE})
        return [one for name in names if (one := newest(items, LibraryKind.PROCEDURE, name)) is not None]

    def withdrawal(self, procedure: str, revision: str) -> RevisionWithdrawn | None:
        """Return that a revision of a procedure was withdrawn; None where nothing is known of that."""
        item = self.item(LibraryKind.PROCEDURE, procedure, revision)
        return None if item is None else item.withdrawn

    def path(self, item: LibraryItem) -> Path:
        """Return where the file of ``item`` lies."""
        return self.folder / item.sha256 / item.file

    def has(self, path: Path) -> bool:
        """Return whether ``path`` is one in the copy, and not a file of the bay's own."""
        return path.absolute().parent.parent == self.folder

    def damage(self, path: Path) -> Fault | None:
        """Return why the procedure at ``path`` is not used, where it belongs to the copy and is not as published."""
        if not self.has(path):
            return None
        item = next((one for one in self.items if self.path(one) == path.absolute()), None)
        if item is not None and self.is_whole(item):
            return None
        return Fault(
            f"The copy of {path.name} from the library is damaged or gone",
            "bring it up to date with assistant library --refresh; a bay at work does so by itself",
        )

    def is_whole(self, item: LibraryItem) -> bool:
        """Return whether the file of ``item``, and the pictures that it shows, are here as they were published."""
        beside = self.path(item).parent
        return has_hash(self.path(item), item.sha256, item.kind.most_bytes) and all(
            has_hash(beside / name, wanted, LibraryKind.PICTURE.most_bytes) for name, wanted in item.shows
        )

    def _index(self) -> tuple[str, Mapping[tuple[str, str, str], LibraryItem]]:
        stamp = _stamp(self.folder / INDEX)
        if stamp != self._read[0]:
            data = b"" if stamp is None else read_file(self.folder / INDEX, _MOST_INDEX_BYTES, "an index", no_link=True)
            self._read = (stamp, *_parsed(b"" if isinstance(data, FileFault) else data))
        return self._read[1:]


def age_told(asked_at: float | None, now: float) -> str:
    """Return how old a bay's copy is; ``asked_at`` and ``now`` are in seconds since the epoch."""
    if asked_at is None:
        return "This bay has no copy of it yet: assistant library --refresh"
    minutes = max(0, round((now - asked_at) / 60))
    if minutes < 1:
        return "The copy of this bay is up to date."
    hours = minutes // 60
    told = f"{minutes} min" if hours < 1 else f"{hours} h" if hours < 48 else f"{hours // 24} days"
    return f"The copy of this bay was brought up to date {told} ago."


def bay_library() -> LocalLibrary:
    """Return the copy in the data folder of this bay."""
    return LocalLibrary(home().absolute() / FOLDER)


def procedure_named(path: Path) -> Path:
    """Return the procedure that ``path`` names: a file; else, by its id, the newest one of the library; else a demo.

    A name with a folder or an ending in it is a file's and stays what it is.
    """
    if path.name != str(path) or path.suffix or path.exists():
        return path
    library = bay_library()
    item = newest(library.items, LibraryKind.PROCEDURE, path.name)
    return procedure_at(path) if item is None else library.path(item)


def has_hash(path: Path, wanted: str, most: int) -> bool:
    """Return whether the file at ``path``, of at most ``most`` [bytes], has the SHA-256 ``wanted``.

    One that did not change since this process looked at it is not read again.
    """
    stamp = _stamp(path)
    known = _HASHES.get(path)
    if stamp is None:
        return False
    if known is None or known[0] != stamp:
        data = read_file(path, most, "a file of the library", no_link=True)
        known = _HASHES[path] = stamp, "" if isinstance(data, FileFault) else sha256(data).hexdigest()
    return known[1] == wanted


def index_bytes(workshop: str, items: Sequence[LibraryItem]) -> bytes:
    """Return the index of ``items``, as :class:`LocalLibrary` reads it."""
    listed = [asdict(one) for one in items]
    return json.dumps({"format": _FORMAT, "workshop": workshop, "items": listed}, ensure_ascii=False).encode()


def _parsed(data: bytes) -> tuple[str, Mapping[tuple[str, str, str], LibraryItem]]:
    """Return the workshop and the items of an index; none of one that is damaged, which the next refresh makes anew."""
    try:
        told = json.loads(data)
        if told["format"] != _FORMAT:
            return "", {}
        items = [_item(one) for one in told["items"]]
        return str(told["workshop"]), {
            (one.kind.value, one.id, one.revision): one for one in items if not item_fault(one)
        }
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "", {}


def _item(told: Mapping[str, Any]) -> LibraryItem:
    given = dict(told)
    gone = given.pop("withdrawn")
    shows = tuple((str(name), str(wanted)) for name, wanted in given.pop("shows"))
    kind, bays = LibraryKind(given.pop("kind")), tuple(map(str, given.pop("bays")))
    numbers = {name: int(given.pop(name)) for name in ("number", "size", "at_ms")}
    texts = {name: str(value) for name, value in given.items()}
    item: Any = {"kind": kind, "shows": shows, "bays": bays, **numbers, **texts}
    return LibraryItem(withdrawn=None if gone is None else RevisionWithdrawn(**gone), **item)


def _stamp(path: Path) -> _Stamp | None:
    try:
        about = path.stat(follow_symlinks=False)
    except (OSError, ValueError):
        return None
    return about.st_mtime_ns, about.st_size, about.st_ino
