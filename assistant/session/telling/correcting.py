"""What is said of words that are said again."""

from __future__ import annotations

from assistant.facts.asking import Dictated, WordsTaken
from assistant.facts.correcting import CorrectionBegun, FindingAsBefore, FindingCorrected, NoteAsBefore, NoteCorrected
from assistant.language.sentence import Sentence
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls
from assistant.session.told import note_numbered


@tells(CorrectionBegun)
def _begun(t: Telling, _: CorrectionBegun) -> None:
    t.fixed(Sentence.SAY_NOTE_AGAIN)


@tells(NoteCorrected)
def _corrected(t: Telling, fact: NoteCorrected) -> None:
    t.say(t.language.talk.note_corrected(_kind(t, fact.note), fact.text))
    if any(isinstance(one, WordsTaken) and one.is_cut for one in t.facts):
        t.fixed(Sentence.NOTE_CUT)


@tells(NoteAsBefore)
def _as_before(t: Telling, fact: NoteAsBefore) -> None:
    t.say(t.language.talk.note_as_before(_kind(t, fact.note), fact.text))


@calls(NoteCorrected)
def _called(t: Telling, fact: NoteCorrected) -> str:
    return t.language.taking_back.note_was_corrected(_kind(t, fact.note))


@tells(FindingCorrected)
def _finding_corrected(t: Telling, fact: FindingCorrected) -> None:
    t.say(*t.language.extra.finding_corrected(fact.number, severity=fact.severity.value))


@tells(FindingAsBefore)
def _finding_as_before(t: Telling, fact: FindingAsBefore) -> None:
    t.say(t.language.talk.note_as_before(Dictated.FINDING.value, fact.text))


@calls(FindingCorrected)
def _finding_called(t: Telling, _: FindingCorrected) -> str:
    return t.language.taking_back.note_was_corrected(Dictated.FINDING.value)


def _kind(t: Telling, number: int) -> str:
    note = note_numbered(t.state.told, number)
    return note.kind.value if note is not None else Dictated.NOTE.value
