"""Jobs and names that are asked for between jobs: what is read back, what begins, what is said behind a job. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.events import Hush
from assistant.idle.choosing import name_row, tell_jobs
from assistant.idle.passing import asleep, say, woken
from assistant.idle.state import (
    ASKED_MS,
    Asking,
    AtHand,
    Between,
    Does,
    Ended,
    ListRow,
    Outcome,
    ResumeJob,
    RowKind,
    StartJob,
    Uttered,
    Wish,
)
from assistant.language.port import Language


def start_chosen(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Begin what is chosen."""
    row = state.listed.chosen if state.listed else None
    if row is None or row.kind is RowKind.NAME:
        return say(state, language.idle.choose_first())
    return _ask_or_begin(state, row, said, now_ms, language)


def resume_chosen(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Go on with the job that is chosen, or with the only one."""
    row = state.listed.chosen if state.listed else None
    if row is None and len(state.known.jobs) == 1:
        row = state.known.jobs[0]
    if row is None or row.kind is not RowKind.JOB:
        return tell_jobs(state, said, now_ms, language)
    return _ask_or_begin(state, row, said, now_ms, language)


def name_worker(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Take a name; one that sounds like another is asked for."""
    person = next((one for one in state.known.people if one.name == said.name), None)
    if person is None:
        return say(state, language.idle.no_name())
    if person.is_alike and not said.by_hand:
        alike = [one.name for one in state.known.people if one.sounds == person.sounds and one != person]
        asked = read_back(state, Does.OPERATOR, name_row(person.name), person.name, now_ms, language)
        return _with_others(asked, alike)
    return say(replace(state, operator=person.name), language.idle.operator_now(person.name))


def do_what_was_asked(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Do what was read back."""
    asking = state.asking
    if asking is None:  # a key: what is chosen is begun
        return start_chosen(state, said, now_ms, language)
    if asking.does is Does.OPERATOR:
        named = replace(state, operator=asking.operator, asking=None)
        return say(named, language.idle.operator_now(asking.operator))
    return Outcome(replace(state, asking=None), wish=_wish(state, asking.row, asking.operator))


def leave_it(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Leave a question, a list, or the bay."""
    if state.asking is not None and state.asking.others and said.intent == "no":
        name, *others = state.asking.others
        return _with_others(read_back(state, Does.OPERATOR, name_row(name), name, now_ms, language), others)
    if state.asking is None and state.listed is None:
        return Outcome(replace(asleep(state), heard=state.heard), (Hush(),))
    kept = None if state.asking is None else state.listed
    return say(replace(state, asking=None, listed=kept), language.idle.dropped())


def _with_others(asked: Outcome, others: Sequence[str]) -> Outcome:
    """Return the question for a name, behind whose "no" the ``others`` are asked for, one after the other."""
    assert asked.state.asking is not None
    return replace(asked, state=replace(asked.state, asking=replace(asked.state.asking, others=tuple(others))))


def _ask_or_begin(state: Between, row: ListRow, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Begin what was asked for by name: where anybody may be heard at any time, it is asked first."""
    operator = state.who if row.kind is RowKind.PROCEDURE else state.operator or row.operator
    if row.stands == "faulty":
        return say(state, language.idle.cannot("errors", row.title))
    if state.wake or said.by_hand:
        return _begins(state, row, operator, language)
    return read_back(
        state, Does.START if row.kind is RowKind.PROCEDURE else Does.RESUME, row, operator, now_ms, language
    )


def read_back(state: Between, does: Does, row: ListRow, operator: str, now_ms: int, language: Language) -> Outcome:
    """Read back what ``does`` means for ``row``, and wait for a word."""
    match does:
        case Does.START:
            question = language.idle.ask_start(row.title, operator)
        case Does.RESUME:
            question = language.idle.ask_resume(row.title, operator)
        case Does.OPERATOR:
            question = language.idle.ask_operator(operator)
    return say(replace(state, asking=Asking(does, row, operator, question, now_ms + ASKED_MS)), question)


def _begins(state: Between, row: ListRow, operator: str, language: Language) -> Outcome:
    words = language.idle.now_starting if row.kind is RowKind.PROCEDURE else language.idle.now_resuming
    return Outcome(replace(state, asking=None), wish=_wish(state, row, operator, words(row.title, operator)))


def _wish(state: Between, row: ListRow, operator: str, first: str = "") -> Wish:
    if row.kind is RowKind.PROCEDURE:
        others = [one.name for one in state.known.people if one.name != operator]
        return StartJob(row, ", ".join([operator, *others]) if operator else "", state.card, first)
    return ResumeJob(row, operator if operator != row.operator else "", first)


def after_job(known: AtHand, wake: str, ended: Ended, language: Language) -> Outcome:
    """Return the bay behind a job, and what is said of how that ended."""
    words = language.idle.job_ended(ended.how, ended.title)
    return say(Between(known, wake, last=ended), words)


def not_begun(state: Between, why: str, title: str, now_ms: int, language: Language) -> Outcome:
    """Return the bay where a job did not begin, and what is said of ``why``, a code."""
    return say(woken(replace(state, asking=None, listed=None), now_ms), language.idle.cannot(why, title))
