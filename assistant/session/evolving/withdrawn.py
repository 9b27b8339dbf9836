"""The procedure of the job was withdrawn, or somebody works with it anyhow."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import withdrawn
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import GoneRevision
from assistant.session.state import State


@takes_up(withdrawn.RevisionGone)
def _gone(state: State, fact: withdrawn.RevisionGone) -> State:
    """It is known; a job that begins with it waits for somebody who insists."""
    holds = fact.begins or (state.gone is not None and state.gone.holds)
    return replace(state, gone=GoneRevision(fact.revision, fact.on, fact.reason, holds))


@takes_up(withdrawn.BegunAnyhow)
def _begun_anyhow(state: State, _: withdrawn.BegunAnyhow) -> State:
    """Somebody insisted."""
    if state.gone is None:
        return state
    gone = state.gone
    return replace(state, gone=GoneRevision(gone.revision, gone.on, gone.reason))
