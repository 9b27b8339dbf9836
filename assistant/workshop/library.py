"""What a workshop's library holds: procedures, the pictures that they show, tool files, price lists and wordings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum

from assistant.faults import Fault
from assistant.procedure.pictures import MOST_PICTURE_BYTES, MOST_PICTURES, parse_picture

MOST_REVISION = 200
"""Letters of a revision."""
MOST_ITEMS = 20_000
"""So many revisions of all kinds a bay looks at: decades of work of an office."""
_TEXT_BYTES = 1_000_000
_SHA256 = re.compile(r"[0-9a-f]{64}", re.ASCII)
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,79}", re.ASCII)


class LibraryKind(StrEnum):
    """What kinds of files a library holds."""

    PROCEDURE = "procedure"
    PICTURE = "picture"
    TOOLS = "tools"
    PRICES = "prices"
    WORDINGS = "wordings"

    @property
    def most_bytes(self) -> int:
        """The size [bytes] that no file of this kind has more of."""
        return MOST_PICTURE_BYTES if self is LibraryKind.PICTURE else _TEXT_BYTES


_ENDINGS = {
    LibraryKind.PROCEDURE: ".yaml",
    LibraryKind.TOOLS: ".yaml",
    LibraryKind.PRICES: ".csv",
    LibraryKind.WORDINGS: ".txt",
    LibraryKind.PICTURE: "",
}
KINDS_TOLD = {
    LibraryKind.PROCEDURE: "procedure",
    LibraryKind.PICTURE: "picture",
    LibraryKind.TOOLS: "tool file",
    LibraryKind.PRICES: "price list",
    LibraryKind.WORDINGS: "wordings",
}
"""What each kind is called on paper and on the screen."""


@dataclass(frozen=True, slots=True)
class RevisionWithdrawn:
    """That a revision was withdrawn: why, when [ms since the epoch], and by whom."""

    reason: str
    at_ms: int
    by: str

    @property
    def day(self) -> str:
        """The day of it, in UTC, as ``YYYY-MM-DD``."""
        return datetime.fromtimestamp(self.at_ms / 1000, UTC).date().isoformat()


@dataclass(frozen=True, slots=True, kw_only=True)
class LibraryItem:
    """One revision in the library. ``number`` counts what was ever published: of two revisions the higher is newer.

    ``approved`` is a code of :class:`assistant.facts.inputs.Approved`, "" for a kind that nobody approves; ``shows``
    has the pictures of a procedure, each with the SHA-256 of its file; ``at_ms`` [ms since the epoch] and ``by`` tell
    when and by whom it was published; ``bays`` who may use it, as far as the login sees that, "" for all.
    """

    kind: LibraryKind
    id: str
    revision: str
    number: int
    title: str
    sha256: str
    size: int
    approved: str = ""
    approved_by: str = ""
    approved_on: str = ""
    shows: tuple[tuple[str, str], ...] = ()
    by: str = ""
    at_ms: int = 0
    withdrawn: RevisionWithdrawn | None = None
    bays: tuple[str, ...] = ()

    @property
    def file(self) -> str:
        """The name of its file in a bay: made here, of the id alone."""
        return f"{self.id}{_ENDINGS[self.kind]}"


def id_fault(kind: LibraryKind, name: str) -> str:
    """Return what is wrong with ``name`` as an id in the library, for the end of a sentence; "" when it is good."""
    if kind is LibraryKind.PICTURE:
        checked = parse_picture(name)
        return checked.advice if isinstance(checked, Fault) else ""
    return "" if _ID.fullmatch(name) else "give small letters, digits and hyphens, as in bay-tools"


def item_fault(item: LibraryItem) -> str:
    """Return why a bay does not take ``item`` as it came, for a sentence; "" when it is in order."""
    if fault := id_fault(item.kind, item.id):
        return f"its name cannot be used; {fault}"
    if not item.revision or len(item.revision) > MOST_REVISION or not item.revision.isprintable():
        return "its revision cannot be used"
    if not 0 < item.size <= item.kind.most_bytes:
        return f"it has {item.size:,} bytes, and no file of its kind has more than {item.kind.most_bytes:,}"
    if not all(_SHA256.fullmatch(one) for one in (item.sha256, *(sha256 for _, sha256 in item.shows))):
        return "a hash of it is none"
    if len(item.shows) > MOST_PICTURES or any(isinstance(parse_picture(name), Fault) for name, _ in item.shows):
        return "it shows pictures under names that cannot be used"
    return ""


def newest(items: Sequence[LibraryItem], kind: LibraryKind, name: str) -> LibraryItem | None:
    """Return the revision that was published last and is not withdrawn; None where there is none."""
    usable = [one for one in items if (one.kind, one.id) == (kind, name) and one.withdrawn is None]
    return max(usable, key=lambda one: one.number, default=None)
