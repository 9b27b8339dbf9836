"""Second persons who come to help and leave again; names are stated, by number or as the only one there is."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.going import RefusedWhy
from assistant.facts.people import HelperCame, HelperLeft
from assistant.session.deciding.core import Deciding


def helper_comes(d: Deciding, command: Command) -> None:
    """Take that somebody helps from now on: by number, the only one who is known, or nobody by name."""
    known = d.may_be_second
    if command.number is not None:
        at = int(command.number)
        name = known[at - 1] if 1 <= at <= len(known) else None
    elif len(known) > 1:
        name = None
    else:
        name = known[0] if known else ""
    if name is None:
        d.refuse(RefusedWhy.WHICH_HELPER)
    elif any(one.name == name and one.helps for one in d.state.helping):
        d.refuse(RefusedWhy.HELPS_BEFORE)
    else:
        d.put(HelperCame(name=name, at_ms=d.now_ms))


def helper_leaves(d: Deciding, command: Command) -> None:
    """Take that somebody helps no more: by number, or the only one who does."""
    there, known = [one.name for one in d.state.helping if one.helps], d.may_be_second
    if not there:
        d.refuse(RefusedWhy.NO_HELPER)
        return
    if command.number is not None:
        at = int(command.number)
        name = known[at - 1] if 1 <= at <= len(known) and known[at - 1] in there else None
    else:
        name = there[0] if len(there) == 1 else None
    if name is None:
        d.refuse(RefusedWhy.WHICH_HELPER)
    else:
        d.put(HelperLeft(name=name, at_ms=d.now_ms))
