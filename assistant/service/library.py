"""What the doctor tells of the bay's copy of the library, and of the wordings that may come from it."""

from __future__ import annotations

from assistant.service.part import FAULT, GOOD, LOOK, Part
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit
from assistant.workshop.library_copy import age_told, bay_library
from assistant.workshop.wordings import WORDINGS_FILE, own_wordings

LIBRARY_PART = "library"
WORDINGS_PART = "wordings"
OLD_S = 86_400.0
"""A copy that was not brought up to date for so long [s] is told: a day, or what was withdrawn is known too late."""
_MEND = "bring it up to date with: assistant library --refresh"


def look_at_library(now: float) -> Part:
    """Look at the copy at ``now`` [s since the epoch]; without one, the bay works with its own procedures."""
    library = bay_library()
    if library.asked_at is None:
        return Part(LIBRARY_PART, GOOD, "there is no copy; the bay works with its own procedures")
    damaged = [one.file for one in library.items if one.withdrawn is None and not library.is_whole(one)]
    if damaged:
        what = f"{len(damaged)} of its files are damaged or gone ({', '.join(damaged[:3])})"
        return Part(LIBRARY_PART, LOOK, f"{what}; {_MEND}", Exit.PROCEDURE)
    count = len(library.procedures())
    found = f"{count} procedure{'' if count == 1 else 's'}. {age_told(library.asked_at, now)}"
    if now > library.asked_at + OLD_S:
        return Part(LIBRARY_PART, LOOK, f"{found} What was withdrawn since is not known here; {_MEND}", Exit.CENTRAL)
    return Part(LIBRARY_PART, GOOD, found)


def look_at_wordings(settings: Settings) -> Part:
    """Look at the workshop's own texts for its papers; without any, papers have none."""
    found = own_wordings(settings)
    if found.fault:
        return Part(WORDINGS_PART, FAULT, found.fault, Exit.PROCEDURE)
    if found.path is None:
        there = home() / WORDINGS_FILE
        return Part(WORDINGS_PART, GOOD, f"none, and no paper needs them; {there} would be their file")
    own = found.wordings
    parts = [*(["letterhead"] if own.letterhead else []), *(paper.value for paper in own.texts)]
    return Part(WORDINGS_PART, GOOD, f"{found.path}, with {', '.join(parts)}")
