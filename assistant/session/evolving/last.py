"""Which confirmation is the last one that can be taken back; how they are remembered is in :mod:`.confirmed`."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.session.evolving.table import fold
from assistant.session.state import Confirmation, State


def last_confirmation(state: State) -> Confirmation | None:
    """Return the newest confirmation of which anything is left; None when there is none, or the job is closed."""
    if state.closed:
        return None
    return next((one for one in reversed(state.confirmed) if one.always or _is_left(state, one)), None)


def _is_left(state: State, one: Confirmation) -> bool:
    """Return whether anything would be open again; what is told to the next person, or when asked, does not count."""
    behind = fold(one.back, state)
    told = {"told": state.told, "last_torque": state.last_torque, "last_reading": state.last_reading}
    return replace(behind, **told) != state


def confirmation_of(state: State, heard_ms: int) -> Confirmation | None:
    """Return the newest confirmation that was heard at ``heard_ms``, of which anything is left."""
    found = last_confirmation(state)
    return found if found is not None and found.heard_ms == heard_ms else None
