"""Somebody comes to a bay between jobs and is answered, and is forgotten when he went away. Pure."""

from __future__ import annotations

from dataclasses import replace

from assistant.events import Say
from assistant.idle.state import ASKED_MS, AWAKE_MS, Between, Outcome


def woken(state: Between, now_ms: int) -> Between:
    """Return the bay with somebody busy at it: how the last job ended was heard."""
    return replace(state, awake_until_ms=now_ms + AWAKE_MS, last=None if state.is_awake else state.last)


def say(state: Between, words: str) -> Outcome:
    """Return the bay that says ``words``."""
    return Outcome(replace(state, said=words), (Say(words),) if words else ())


def asleep(state: Between) -> Between:
    """Return the bay with nobody at it: what was chosen, and who would work, is forgotten."""
    return Between(state.known, state.wake, last=state.last, heard=state.heard)


def alone_ms(state: Between) -> int | None:
    """Return when :func:`pass_time` changes something [ms since the epoch]; None for never."""
    if not state.is_awake:
        return None
    return state.awake_until_ms if state.asking is None else min(state.awake_until_ms, state.asking.until_ms)


def pass_time(state: Between, now_ms: int) -> Between:
    """Return the bay as it is at ``now_ms``; nothing is said of it."""
    if state.is_awake and now_ms >= state.awake_until_ms:
        return asleep(state)
    if state.asking is not None and now_ms >= state.asking.until_ms:
        return replace(state, asking=None)
    return state


def kept_awake(state: Between, now_ms: int) -> Between:
    """Return the bay while it speaks: who listens to it has the whole time behind that."""
    if not state.is_awake:
        return state
    asking = None if state.asking is None else replace(state.asking, until_ms=now_ms + ASKED_MS)
    return replace(state, awake_until_ms=now_ms + AWAKE_MS, asking=asking)
