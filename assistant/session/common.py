"""The names of the states that no kind of step brings; their rows are in :mod:`assistant.session.states`."""

from __future__ import annotations

from enum import StrEnum


class Common(StrEnum):
    """A state that every job has."""

    NEW = "new"
    PREPARING = "preparing"
    HAZARD = "hazard"
    OFFERING = "offering"
    STOPPED = "stopped"
    DROPPED = "dropped"
    FINISHING = "finishing"
    CONFIRMING = "confirming"
    DICTATION = "dictation"
    HAND_OVER = "hand_over"
    GRANTED_BY = "granted_by"
    GRANTED_HOW = "granted_how"
    SEVERITY = "severity"
    NAMING = "naming"
    RELEASING = "releasing"
    WITNESSING = "witnessing"
    PAUSED = "paused"
    CLOSED = "closed"
