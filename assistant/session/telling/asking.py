"""What is said of what waits for "confirmed", and of words that are taken down."""

from __future__ import annotations

from assistant.events import ToneKind
from assistant.facts.asking import (
    Asked,
    AskedOn,
    Cancelled,
    CancelledWhy,
    Dictated,
    DictationBegun,
    WordsTaken,
)
from assistant.facts.going import Refused
from assistant.facts.inputs import Understood
from assistant.facts.people import Noted, ProblemNoted
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.session.here import Here
from assistant.session.state import Waiting
from assistant.session.telling import going, places, preparing, second
from assistant.session.telling.asked import read_back_of
from assistant.session.telling.core import Telling, tells


def waiting_words(t: Telling, waiting: Waiting) -> list[str]:
    """Return what was read back, and waits for "confirmed"."""
    part = read_back_of(waiting.question)
    if not waiting.reason:
        return list(part.words(t, waiting.question))
    if part.reasoned is not None:
        return list(part.reasoned(t, waiting.question, waiting.reason))
    told = part.told(t, waiting.question)
    return t.language.talk.reason_then(part.summary(t, waiting.question), waiting.reason, told)


def question_words(here: Here, language: Language, waiting: Waiting) -> str:
    """Return the same in one text, for a display."""
    telling = Telling(here.job, here.state, (), here.now_ms, language, "")
    return " ".join(waiting_words(telling, waiting))


@tells(Asked)
def _asked(t: Telling, fact: Asked) -> None:
    t.say(*waiting_words(t, Waiting(fact.question, fact.at_ms, fact.needs_reason, fact.reason)))


@tells(AskedOn)
def _asked_on(t: Telling, _: AskedOn) -> None:
    """Remind of what waits, behind the answer to a question; "repeat" does so by itself."""
    if _came_with(t, "repeat") or t.state.waiting is None:
        return
    if second.waits_for_second(t.state.waiting.question):
        t.say(second.own_word(t))
    else:
        t.fixed(Sentence.STILL_WAITS)


def _came_with(t: Telling, intent: str) -> bool:
    given = t.facts[0]
    return isinstance(given, Understood) and given.intent == intent


# Taken down


@tells(DictationBegun)
def _begun(t: Telling, fact: DictationBegun) -> None:
    if fact.what is not Dictated.REASON:
        t.fixed(Sentence.SAY_NOTE)
        return
    if fact.question is not None:
        t.say(*read_back_of(fact.question).before_reason(t, fact.question))
    t.fixed(Sentence.SAY_WHY)


@tells(WordsTaken)
def _words_taken(t: Telling, fact: WordsTaken) -> None:
    if _came_with(t, "end_note") or t.state.dictation is None:
        return
    if fact.is_cut:
        t.fixed(Sentence.NOTE_FULL)
    else:
        t.tone(ToneKind.ACCEPTED)


@tells(Noted)
def _noted(t: Telling, fact: Noted) -> None:
    _kept(t, Dictated.NOTE, fact.text)


@tells(ProblemNoted)
def _problem_noted(t: Telling, fact: ProblemNoted) -> None:
    _kept(t, Dictated.PROBLEM, fact.text)


def _kept(t: Telling, what: Dictated, text: str) -> None:
    t.say(t.language.talk.note_kept(what.value, text))
    if any(isinstance(fact, WordsTaken) and fact.is_cut for fact in t.facts):
        t.fixed(Sentence.NOTE_CUT)


# Dropped


@tells(Cancelled)
def _cancelled(t: Telling, fact: Cancelled) -> None:
    before = t.before.state
    said_again = before.finding is not None and before.finding.number > 0
    if said_again and fact.why in (CancelledWhy.SILENCE, CancelledWhy.INTERRUPTED):
        t.fixed(Sentence.FINDING_STAYS)
    elif before.dictation is not None and before.dictation.question is None:
        finding = before.dictation.what is Dictated.FINDING
        stays = Sentence.FINDING_STAYS if finding else Sentence.NOTE_STAYS
        t.fixed(stays if before.dictation.note else Sentence.NOTE_DROPPED)
    elif fact.why is CancelledWhy.REPLACED:
        # Where a refusal says what to do, that is all that is said.
        if (
            t.state.waiting is None and _came_with(t, "no") and not t.has(Refused)
        ):  # the last of several things that is not here either
            t.say(*(preparing.missing_words(t, t.state.missing) or [t.text(Sentence.CANCELLED)]))
    elif fact.why is CancelledWhy.ANSWERED:
        t.say(t.language.customer.came_first())
    elif fact.why is CancelledWhy.SAID:
        t.fixed(Sentence.CANCELLED)
        _read_again(t)
    else:
        own = before.waiting is not None and second.waits_for_second(before.waiting.question)
        t.fixed(Sentence.NO_REASON if before.dictation else Sentence.SILENCE_SECOND if own else Sentence.SILENCE)


def _read_again(t: Telling) -> None:
    """Read out the place again, or say where it is, when somebody cancels what had taken attention off it."""
    before = t.before.state
    if before.handing_over:
        t.say(*places.whereabouts(t))
    elif before.waiting is not None and read_back_of(before.waiting.question).reads_again:
        going.announce(t)
