"""What must be read back and confirmed, and words that are taken down: notes, problems, reasons."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import (
    Asked,
    AskedOn,
    AskFound,
    Cancelled,
    CancelledWhy,
    Dictated,
    DictationBegun,
    Granted,
    Question,
    WordsTaken,
    code_of,
)
from assistant.facts.going import RefusedWhy
from assistant.facts.people import Noted, ProblemNoted
from assistant.session.deciding import correcting, findings
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import grant_of
from assistant.session.deciding.holding import holds_back
from assistant.session.intents import AT_ONCE, KNOBS, QUESTIONS
from assistant.session.table import row_of

NOTE_WORDS, NOTE_LETTERS = 200, 2000
"""So much fits into one note: it is heard again at a hand-over, and printed. Ours, not published."""


# Asked


def ask(d: Deciding, question: Question) -> None:
    """Read ``question`` back and wait for "confirmed"."""
    d.put(Asked(question=question, at_ms=d.now_ms))


def offer(d: Deciding, question: Question) -> None:
    """Read back what does not fit; confirming it asks for a reason, and the reason is read back as well.

    What does not fit at a gate is only put down.
    """
    if not holds_back(d, question):
        d.put(Asked(question=question, needs_reason=True, at_ms=d.now_ms))


def demand_reason(d: Deciding, question: Question) -> None:
    """Ask for a reason first; then it is read back and must be confirmed. Nothing is left out at a gate."""
    if not holds_back(d, question):
        d.put(DictationBegun(what=Dictated.REASON, question=question, at_ms=d.now_ms))


def confirming(d: Deciding, command: Command) -> None:
    """Take what was said while something waits for "confirmed": that word, a question, or anything that cancels it."""
    waiting = d.state.waiting
    if waiting is None:
        raise RuntimeError("Nothing waits to be confirmed.")
    intent, question = command.intent, waiting.question
    if intent == question.WORD:
        confirm(d)
    elif intent == "confirmed":
        d.refuse(RefusedWhy.OWN_WORD)
    elif intent in KNOBS:
        pass
    elif intent in QUESTIONS:
        d.put(AskedOn(at_ms=d.now_ms))
    elif intent == "no" and (otherwise := grant_of(question).otherwise) is not None:
        drop(d, CancelledWhy.REPLACED)
        otherwise(d, question)
    elif intent in (*grant_of(question).anew, *AT_ONCE):
        drop(d, CancelledWhy.REPLACED)
        row_of(d.phase).acts[intent](d, command)
    else:
        drop(d, CancelledWhy.SAID)


def ask_found(d: Deciding, things: tuple[tuple[str, int], ...]) -> None:
    """Ask for each of ``things`` (card and number) whether it is here now, the first one first."""
    (place, number), *then = things
    ask(d, AskFound(place=place, number=number, then=tuple(then)))


def confirm(d: Deciding) -> None:
    """Take "confirmed": ask for the reason if it is still missing, else do what was asked."""
    waiting = d.state.waiting
    if waiting is None:
        raise RuntimeError("Nothing waits to be confirmed.")
    if waiting.needs_reason:
        demand_reason(d, waiting.question)
        return
    d.put(Granted(what=code_of(waiting.question)))
    grant_of(waiting.question).do(d, waiting.question, waiting.reason)


# Taken down


def note(d: Deciding, _: Command) -> None:
    """Begin a note."""
    d.put(DictationBegun(what=Dictated.NOTE, at_ms=d.now_ms))


def problem(d: Deciding, _: Command) -> None:
    """Begin to take a problem down."""
    d.put(DictationBegun(what=Dictated.PROBLEM, at_ms=d.now_ms))


def words(d: Deciding, command: Command) -> None:
    """Add as many words to what is taken down as there is room for; what is said again is all said then."""
    dictation = d.state.dictation
    have = " ".join(dictation.words) if dictation else ""
    room = max(0, NOTE_WORDS - len(have.split()))
    fits = " ".join(command.text.split()[:room])[: max(0, NOTE_LETTERS - len(have))]
    cut = len(fits) < len(" ".join(command.text.split()))
    again = correcting.said_again(d)
    d.put(WordsTaken(text=fits, is_cut=cut, at_ms=d.now_ms))
    if again:
        correcting.take_again(d)


def end_note(d: Deciding, command: Command) -> None:
    """Keep what was taken down, with the last words of the same breath, or read the reason back."""
    again = correcting.said_again(d)
    if command.text:
        words(d, command)
        if again:
            return
    dictation = d.state.dictation
    if dictation is None:
        raise RuntimeError("A note ends that was never begun.")
    if not dictation.words:
        d.refuse(RefusedWhy.NOTE_EMPTY)
    elif dictation.question is None:
        _keep(d)
    else:
        d.put(Asked(question=dictation.question, reason=" ".join(dictation.words), at_ms=d.now_ms))


def _keep(d: Deciding, dropped: CancelledWhy | None = None) -> None:
    """Write a note down; it is not complete when it was ``dropped`` by nobody, or words did not fit."""
    dictation = d.state.dictation
    if dictation is None:
        raise RuntimeError("There is no note.")
    if dictation.what is Dictated.FINDING:
        complete = not dropped and not dictation.is_cut
        findings.take_words(d, " ".join(dictation.words), complete=complete)
        return
    fact = ProblemNoted if dictation.what is Dictated.PROBLEM else Noted
    step, text = d.step.id if d.step else None, " ".join(dictation.words)
    silent_ms = d.now_ms if dropped is CancelledWhy.SILENCE else 0
    d.put(fact(step=step, text=text, complete=not dropped and not dictation.is_cut, silent_ms=silent_ms))


# Dropped


def cancel(d: Deciding, why: CancelledWhy) -> None:
    """Drop what waits or is taken down; nothing changes. The words of a note that nobody dropped are kept.

    Other words of a finding that was confirmed are not: it counts as it was confirmed until they are.
    """
    dictation, found = d.state.dictation, d.state.finding
    if found is not None and found.number:
        drop(d, why)
        return
    if dictation is not None and dictation.question is None and dictation.words and why is not CancelledWhy.SAID:
        _keep(d, why)
        if d.state.finding is not None:
            findings.keep_unjudged(d)
    elif d.state.finding is not None and why is not CancelledWhy.SAID:
        findings.keep_unjudged(d)
    else:
        drop(d, why)


def drop(d: Deciding, why: CancelledWhy) -> None:
    """Drop what waits or is taken down."""
    dictation, waiting = d.state.dictation, d.state.waiting
    question = waiting.question if waiting else dictation.question if dictation else None
    what = code_of(question) if question else dictation.what.value if dictation else _half_said(d)
    d.put(Cancelled(what=what, why=why, at_ms=d.now_ms))


def _half_said(d: Deciding) -> str:
    """Return what is dropped where a grant, or a finding, was said only in part, or a second person not named."""
    if d.state.second is not None:
        return d.state.second.what.value
    return "grant" if d.state.granting is not None else Dictated.FINDING.value if d.state.finding is not None else ""


def said_cancel(d: Deciding, _: Command) -> None:
    """Take "cancel"; a finding keeps the words that it had."""
    if not correcting.keep_words(d):
        cancel(d, CancelledWhy.SAID)
