"""What must be read back and confirmed, and words that are taken down: notes, problems, reasons."""

from __future__ import annotations

from typing import Any

from assistant.events import ToneKind
from assistant.session import replies, sentences
from assistant.session.engine import Engine
from assistant.session.state import Dictation, Pending

CONFIRM_MS = 15_000
"""How long a read-back waits for "confirmed" once it should have been spoken."""
NOTE_MS = 60_000
"""How long a note waits for its next words."""
NOTE_WORDS, NOTE_LETTERS = 200, 2000
"""So much fits into one note (from rules 3 on): it is heard again at a hand-over, and printed. Ours, not published."""
_OLD_REASON_WORDS = 14
"""Words of a reason that were read back before rules 3."""
_MS_PER_WORD = 400
"""Speech of 150 words a minute, a usual rate of reading aloud (common practice, no source)."""


def ask(e: Engine, pending: Pending) -> None:
    """Read ``pending`` back and wait for "confirmed"."""
    pending.deadline_ms = e.now_ms + CONFIRM_MS + _MS_PER_WORD * len(pending.question.split())
    e.state.pending = pending
    e.table.fire("ask")
    e.record("asked", what=pending.action, question=pending.question)
    e.say(pending.question)


def wait_on(e: Engine, *, remind: bool) -> None:
    """Give what waits for "confirmed" its time anew, because a question was answered meanwhile; ``remind`` of it."""
    if e.state.pending is None:
        return
    if remind:
        e.say(sentences.STILL_WAITS)
    words = sum(len(sentence.split()) for sentence in e.words)
    e.state.pending.deadline_ms = e.now_ms + CONFIRM_MS + _MS_PER_WORD * words


def offer(e: Engine, action: str, summary: str, question: list[str], **data: Any) -> None:
    """Read back what does not fit; confirming it asks for a reason, and the reason is read back as well."""
    ask(e, Pending(action, summary, " ".join(question), data, final=False))


def demand_reason(e: Engine, action: str, summary: str, say: list[str], **data: Any) -> None:
    """Ask for a reason first; then it is read back and must be confirmed."""
    pending = Pending(action, summary, "", data, final=False)
    _take_down(e, Dictation("reason", [], e.now_ms + NOTE_MS, pending))
    e.say(*say, sentences.SAY_WHY)


def note(e: Engine, kind: str) -> None:
    """Begin a note or a problem."""
    _take_down(e, Dictation(kind, [], e.now_ms + NOTE_MS))
    e.say(sentences.SAY_NOTE)


def _take_down(e: Engine, dictation: Dictation) -> None:
    e.state.pending = None
    e.state.dictation = dictation
    e.table.fire("take_down")


def words(e: Engine, text: str) -> None:
    """Add words to what is taken down."""
    dictation = e.state.dictation
    if dictation is None:
        raise RuntimeError("Words came in while nothing is taken down.")
    dictation.deadline_ms = e.now_ms + NOTE_MS
    if _add(e, dictation, text):
        e.tone(ToneKind.ACCEPTED)
    else:
        e.say(sentences.NOTE_FULL)


def _add(e: Engine, dictation: Dictation, text: str) -> bool:
    """Add as much of ``text`` as there is room for; return whether that was all."""
    if e.rules < 3:
        dictation.words.append(text)
        return True
    have = " ".join(dictation.words)
    fits = " ".join(text.split()[: max(0, NOTE_WORDS - len(have.split()))])[: max(0, NOTE_LETTERS - len(have))]
    if fits:
        dictation.words.append(fits)
    cut = len(fits.split()) < len(text.split()) or len(fits) < len(" ".join(text.split()))
    dictation.is_cut |= cut
    return not cut


def end_note(e: Engine, last: str = "") -> None:
    """Keep what was taken down, with the words ``last`` of the same breath, or read the reason back."""
    dictation = e.state.dictation
    if dictation is None:
        raise RuntimeError("A note ends that was never begun.")
    fitted = not last or _add(e, dictation, last)
    text = " ".join(dictation.words)
    if not text:
        dictation.deadline_ms = e.now_ms + NOTE_MS
        e.say(sentences.NOTE_EMPTY)
        return
    if dictation.pending is None:
        keep_note(e, dictation, complete=True)
        e.say("" if fitted else sentences.NOTE_CUT)
        e.settle()
        return
    e.state.dictation = None
    pending = dictation.pending
    pending.reason = text
    pending.final = True
    most = {"most": _OLD_REASON_WORDS} if e.rules < 3 else {}
    said = text if e.rules < 3 else replies.apart(text)  # the question is recorded
    pending.question = " ".join(replies.reason_then(pending.summary, said, pending.data.get("told", ()), **most))
    ask(e, pending)


def keep_note(e: Engine, dictation: Dictation, *, complete: bool) -> None:
    """Write a note down; not ``complete`` when it ended by silence, and never so when words did not fit."""
    text = " ".join(dictation.words)
    e.state.dictation = None
    e.record(dictation.kind, step=e.step.id if e.step else None, text=text, complete=complete and not dictation.is_cut)
    e.say(replies.note_kept(dictation.kind, text))


def cancel(e: Engine, why: str, *, quietly: bool = False) -> None:
    """Drop what is pending or being taken down; nothing changes. ``why`` is "said" or "silence"."""
    dictation, pending = e.state.dictation, e.state.pending
    if why == "silence":
        e.state.silence_ms = e.now_ms
    e.state.dictation = e.state.pending = None
    if dictation is not None and dictation.pending is None:
        if why == "silence" and dictation.words:
            keep_note(e, dictation, complete=False)
        else:
            e.record("cancelled", what=dictation.kind, why=why)
            e.say(sentences.NOTE_DROPPED)
    else:
        dropped = pending or (dictation.pending if dictation else None)
        e.record("cancelled", what=dropped.action if dropped else "nothing", why=why)
        if not quietly:
            silence = sentences.NO_REASON if dictation else sentences.SILENCE
            e.say(silence if why == "silence" else sentences.CANCELLED)
    e.settle()


def confirm(e: Engine) -> Pending | None:
    """Take "confirmed": ask for the reason if it is still missing, else return what may be done now."""
    pending = e.state.pending
    if pending is None:
        raise RuntimeError("Nothing waits to be confirmed.")
    if not pending.final:
        _take_down(e, Dictation("reason", [], e.now_ms + NOTE_MS, pending))
        e.say(sentences.SAY_WHY)
        return None
    return pending
