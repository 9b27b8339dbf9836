"""Findings among the extra work: their keys, and which of them can still be put otherwise."""

from __future__ import annotations

from assistant.session.state import ExtraIs, State


def finding_key(number: int) -> str:
    """Return the key of a finding among the extra work."""
    return f"finding:{number}"


def may_change(state: State, work: str) -> bool:
    """Return whether a confirmed finding can be put otherwise: nobody answered for it, and nothing of it was done."""
    kept = state.extra.get(work)
    open_yet = kept is not None and kept.severity is not None and kept.stands in (ExtraIs.ASKED, ExtraIs.ADVISED)
    return open_yet and not any(one.work == work and not one.outdated for one in state.page_answers)
