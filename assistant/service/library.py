"""What the doctor tells of the bay's copy of the library: how old it is, and whether it is as it was published."""

from __future__ import annotations

from assistant.service.part import GOOD, LOOK, Part
from assistant.terminal.exits import Exit
from assistant.workshop.library_copy import age_told, bay_library

LIBRARY_PART = "library"
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
