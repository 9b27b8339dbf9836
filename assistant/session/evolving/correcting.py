"""Words that are said again: what is taken down for which note, and how that note counts."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from assistant.facts import Fact, correcting
from assistant.facts.extra import Severity
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.open_findings import may_change
from assistant.session.state import Dictation, Extra, ExtraIs, State
from assistant.session.told import note_numbered, with_words


@takes_up(correcting.CorrectionBegun)
def _begun(state: State, fact: correcting.CorrectionBegun) -> State:
    """Words are taken down in the place of others; a finding keeps its own until they have come."""
    dictation = Dictation(fact.what, fact.at_ms, note=fact.note)
    return replace(state, waiting=None, note_last=0, finding_last="", dictation=dictation)


@takes_up(correcting.NoteCorrected)
def _corrected(state: State, fact: correcting.NoteCorrected) -> State:
    """A note counts in other words, and they can be corrected as well."""
    told = with_words(state.told, fact.note, fact.text, corrected=True)
    return replace(state, dictation=None, told=told, note_last=fact.note)


@takes_up(correcting.NoteAsBefore)
def _as_before(state: State, fact: correcting.NoteAsBefore) -> State:
    """A note counts as it did before."""
    told = with_words(state.told, fact.note, fact.text, corrected=fact.corrected)
    return replace(state, told=told, note_last=fact.note)


@takes_back(correcting.NoteCorrected, always=True)
def _undo(state: State, fact: correcting.NoteCorrected) -> Sequence[Fact] | None:
    """Only what is told to the next person shows it, which else does not count."""
    was = note_numbered(state.told, fact.note)
    if was is None:
        return None
    return (correcting.NoteAsBefore(note=fact.note, text=was.words, corrected=was.corrected),)


@takes_up(correcting.FindingCorrected)
def _finding_corrected(state: State, fact: correcting.FindingCorrected) -> State:
    """A finding counts in other words, and they can be corrected as well."""
    state = replace(state, finding=None, waiting=None, dictation=None)
    return _with_words(state, fact, corrected=True)


@takes_up(correcting.FindingAsBefore)
def _finding_as_before(state: State, fact: correcting.FindingAsBefore) -> State:
    """A finding counts as it did before; one for which somebody answered stays as it was then."""
    return _with_words(state, fact, corrected=fact.corrected) if may_change(state, fact.work) else state


def _with_words(
    state: State, fact: correcting.FindingCorrected | correcting.FindingAsBefore, *, corrected: bool
) -> State:
    stands = ExtraIs.ASKED if fact.severity is Severity.BEFORE_RUNNING else ExtraIs.ADVISED
    was = state.extra.get(fact.work, Extra(fact.number, stands))
    now = replace(
        was, stands=stands, text=fact.text, step=fact.step or "", severity=fact.severity,
        complete=fact.complete, corrected=corrected,
    )  # fmt: skip
    return replace(state, extra={**state.extra, fact.work: now}, finding_last=fact.work)


@takes_back(correcting.FindingCorrected)
def _undo_finding(state: State, fact: correcting.FindingCorrected) -> Sequence[Fact] | None:
    """It counts as it was confirmed before."""
    was = state.extra.get(fact.work)
    if was is None or was.severity is None:
        return None
    back = correcting.FindingAsBefore(
        work=fact.work, number=fact.number, text=was.text, step=was.step or None, severity=was.severity,
        complete=was.complete, corrected=was.corrected,
    )  # fmt: skip
    return (back,)
