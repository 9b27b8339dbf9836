"""A job as it would stand with other tools, or without what is known of earlier jobs: for who only asks."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.inputs import ToolFile
from assistant.session.remembered import Times
from assistant.session.state import State


def supposed(state: State, *, tools: ToolFile | None, no_times: bool) -> State:
    """Return ``state`` with ``tools`` in place of its own where given; ``no_times``: as if nobody did it before."""
    state = replace(state, tools=tools) if tools is not None else state
    return replace(state, times=Times()) if no_times else state
