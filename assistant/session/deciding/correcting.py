"""Words that were read back are said again: those of a note or a problem, of a finding, or of a reason."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import Dictated, DictationBegun
from assistant.facts.correcting import CorrectionBegun, NoteCorrected
from assistant.facts.extra import AskFinding, FindingTaken
from assistant.facts.going import RefusedWhy
from assistant.session.common import Common
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.open_findings import finding_key, may_change
from assistant.session.told import ToldKind, note_numbered


def may_correct(here: Here) -> bool:
    """Return whether words may be corrected now: they were read back, and nothing else was said since."""
    state = here.state
    if state.waiting is not None:
        own = bool(state.waiting.reason) or isinstance(state.waiting.question, AskFinding)
        return own and here.phase == Common.CONFIRMING  # what a second person says a word to is not theirs to change
    return state.finding is not None or state.note_last > 0 or state.finding_last in state.extra


def said_again(here: Here) -> bool:
    """Return whether what is taken down replaces words: then one utterance is all of it."""
    one = here.state.dictation
    return one is not None and (one.note > 0 or (one.what is Dictated.FINDING and here.state.finding is not None))


def words_replaced(here: Here) -> str:
    """Return the words that are said again; "" where words are taken down for the first time."""
    if not said_again(here):
        return ""
    found, dictation = here.state.finding, here.state.dictation
    if dictation is not None and dictation.what is Dictated.FINDING and dictation.note:
        kept = here.state.extra.get(finding_key(dictation.note))
        return kept.text if kept is not None else ""
    note = note_numbered(here.state.told, dictation.note) if dictation is not None else None
    return note.words if note is not None else found.text if found is not None else ""


def correct_words(d: Deciding, _: Command) -> None:
    """Begin to take the last words again; a reason is asked for as it was the first time."""
    state = d.state
    note = note_numbered(state.told, state.note_last)
    if state.waiting is not None and state.waiting.reason:
        d.put(DictationBegun(what=Dictated.REASON, question=state.waiting.question, at_ms=d.now_ms))
    elif state.finding is not None:
        d.put(CorrectionBegun(what=Dictated.FINDING, at_ms=d.now_ms))
    elif state.finding_last in state.extra and not may_change(state, state.finding_last):
        d.refuse(RefusedWhy.FINDING_ANSWERED)
    elif state.finding_last in state.extra:
        number = state.extra[state.finding_last].number
        d.put(CorrectionBegun(what=Dictated.FINDING, note=number, at_ms=d.now_ms))
    elif note is not None:
        what = Dictated.PROBLEM if note.kind is ToldKind.PROBLEM else Dictated.NOTE
        d.put(CorrectionBegun(what=what, note=state.note_last, at_ms=d.now_ms))
    else:
        raise RuntimeError("There is nothing to correct.")


def take_again(d: Deciding) -> None:
    """Let the words that were taken down replace the old ones."""
    dictation = d.state.dictation
    if dictation is None:
        raise RuntimeError("Nothing is corrected.")
    text = " ".join(dictation.words)
    if dictation.what is not Dictated.FINDING:
        d.put(NoteCorrected(note=dictation.note, text=text, complete=not dictation.is_cut))
    else:
        _finding(d, text, complete=not dictation.is_cut)


def keep_words(d: Deciding) -> bool:
    """Ask again how bad a finding is whose new words were cancelled; return whether it is about a finding."""
    found = d.state.finding
    if found is None or not said_again(d):
        return False
    _finding(d, found.text, complete=found.complete)
    return True


def _finding(d: Deciding, text: str, *, complete: bool) -> None:
    found, dictation = d.state.finding, d.state.dictation
    kept = d.state.extra.get(finding_key(dictation.note)) if dictation is not None else None
    step = found.step if found is not None else kept.step if kept is not None else ""
    d.put(FindingTaken(text=text, step=step or None, complete=complete, at_ms=d.now_ms))
