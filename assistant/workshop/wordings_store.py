"""The wordings for a bay's papers where the office makes them: from the library in the central store."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.procedure.format.wordings_file import read_wordings
from assistant.workshop.library import LibraryKind
from assistant.workshop.library_store import newest_for, published_content
from assistant.workshop.wordings import OwnWordings, as_read, known_wordings


def wordings_for(link: CentralLink, bay: str) -> OwnWordings:
    """Return those that this computer's settings lead to; else the newest in the store that ``bay`` may use.

    Raises:
        CentralFault: the store cannot be reached.
    """
    own = known_wordings(library=False)
    item = None if own.path or own.fault else newest_for(link, LibraryKind.WORDINGS, bay)
    if item is None:
        return own
    data = published_content(link, item)
    if sha256(data).hexdigest() != item.sha256:
        return OwnWordings(fault=f"The wordings {item.id} in the library are not what their hash says; publish others.")
    return as_read(read_wordings(data, f"{item.file} in the library"), Path(item.file))


def newest_wordings(link: CentralLink, bay: str) -> int:
    """Return the number of the newest wordings in the store that ``bay`` may use; 0 where there are none.

    Raises:
        CentralFault: the store cannot be reached.
    """
    item = newest_for(link, LibraryKind.WORDINGS, bay)
    return 0 if item is None else item.number
