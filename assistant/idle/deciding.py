"""What comes of an input between jobs: the state behind it, what is said, and the job that is wanted. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from assistant.events import Adjust, Hush, Say, Tone, ToneKind, VoiceKnob
from assistant.idle.intents import WAKE
from assistant.idle.passing import asleep
from assistant.idle.state import (
    ASKED_MS,
    AWAKE_MS,
    SPOKEN_MOST,
    Answer,
    Asking,
    Card,
    Does,
    Ended,
    Idle,
    Input,
    Known,
    Listed,
    NotSure,
    Pressed,
    ResumeJob,
    Row,
    RowKind,
    Said,
    Scanned,
    StartJob,
    Wish,
)
from assistant.language.port import Language
from assistant.language.topics.idle import RowSaid

_KNOBS = {
    "louder": Adjust(VoiceKnob.VOLUME, 1),
    "quieter": Adjust(VoiceKnob.VOLUME, -1),
    "faster": Adjust(VoiceKnob.RATE, 1),
    "slower": Adjust(VoiceKnob.RATE, -1),
}


def decide(state: Idle, given: Input, now_ms: int, language: Language) -> Answer:
    """Return what comes of ``given`` at ``now_ms`` [ms since the epoch]."""
    if isinstance(given, NotSure):
        return Answer(woken(state, now_ms), (Tone(ToneKind.NOT_UNDERSTOOD),)) if state.is_awake else Answer(state)
    if isinstance(given, Scanned):
        return Answer(state)  # what a scan means is not known here yet
    if isinstance(given, Pressed):
        return _pressed(state, given, now_ms, language)
    return _said(state, given, now_ms, language)


def _said(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    awake = woken(replace(state, heard=said.intent if not said.name else said.name), now_ms)
    if said.intent in _KNOBS:
        return Answer(awake, (_KNOBS[said.intent],))
    if said.intent == "be_quiet":
        return Answer(awake, (Hush(),))
    if said.intent == "repeat":
        return say(awake, awake.said)
    return _ACTS[said.intent](awake, said, now_ms, language)


def _pressed(state: Idle, pressed: Pressed, now_ms: int, language: Language) -> Answer:
    """Do what a button asks for; a job that is chosen on the page begins at once."""
    awake = woken(state, now_ms)
    card = pressed.card or state.card
    if pressed.button == "start_job" and (row := _by_key(state.known.procedures, pressed.value)):
        return _begins(replace(awake, card=card), row, awake.who, language)
    if pressed.button == "resume_job" and (row := _by_key(state.known.jobs, pressed.value)):
        return _begins(awake, row, awake.operator or row.operator, language)
    if pressed.button == "works" and pressed.value:
        named = next((one.name for one in state.known.people if one.name == pressed.value), "")
        return say(replace(awake, operator=named), language.idle.operator_now(named)) if named else Answer(state)
    if pressed.button == "row_number":
        return _number(awake, Said("row_number", _whole(pressed.value), by_hand=True), now_ms, language)
    if pressed.button not in _ACTS:
        return Answer(state)
    return _said(state, Said(pressed.button, name=pressed.value, by_hand=True), now_ms, language)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 4 else 0


def _by_key(rows: Sequence[Row], key: str) -> Row | None:
    return next((row for row in rows if row.key == key), None)


# What was said


def _wake(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    return say(state, language.equipment.yes())


def _jobs(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    return _list(state, Listed("jobs", state.known.jobs), language)


def _procedures(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    return _list(state, Listed("procedures", state.known.procedures), language)


def _new_job(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    return _procedures(replace(state, card=Card()), said, now_ms, language)


def _names(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    rows = tuple(Row(kind=RowKind.NAME, key=one.name, title=one.name, stands="name") for one in state.known.people)
    return _list(state, Listed("names", rows), language)


def _search(state: Idle, said: Said, _now_ms: int, language: Language) -> Answer:
    word = said.name
    rows = (*state.known.jobs, *state.known.procedures)
    found = tuple(row for row in rows if word in f"{row.title} {row.machine} {row.customer}".lower())
    if not found:
        return say(state, language.idle.nothing_there("found", word))
    if len(found) == 1:
        return _choose(state, Listed("found", found, word), 0, language)
    return _list(state, Listed("found", found, word), language)


def _next(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    listed = state.listed
    if listed is None:  # a pedal alone comes this far: the jobs first, where there are any
        return (_jobs if state.known.jobs else _procedures)(state, said, now_ms, language)
    at = 0 if listed.at is None else listed.at + 1
    if at >= len(listed.rows):
        return say(state, language.idle.no_row(0, len(listed.rows)))
    return _choose(state, listed, at, language)


def _before(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    if state.listed is None:
        return say(state, language.idle.choose_first())
    return _choose(state, state.listed, max(0, (state.listed.at or 0) - 1), language)


def _number(state: Idle, said: Said, _now_ms: int, language: Language) -> Answer:
    if state.listed is None:
        return say(state, language.idle.choose_first())
    if not 1 <= said.number <= len(state.listed.rows):
        return say(state, language.idle.no_row(said.number, len(state.listed.rows)))
    return _choose(state, state.listed, said.number - 1, language)


def _start(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    row = state.listed.chosen if state.listed else None
    if row is None or row.kind is RowKind.NAME:
        return say(state, language.idle.choose_first())
    return _ask_or_begin(state, row, said, now_ms, language)


def _resume(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    row = state.listed.chosen if state.listed else None
    if row is None and len(state.known.jobs) == 1:
        row = state.known.jobs[0]
    if row is None or row.kind is not RowKind.JOB:
        return _jobs(state, said, now_ms, language)
    return _ask_or_begin(state, row, said, now_ms, language)


def _works(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    person = next((one for one in state.known.people if one.name == said.name), None)
    if person is None:
        return say(state, language.idle.no_name())
    if person.is_alike and not said.by_hand:
        row = Row(kind=RowKind.NAME, key=person.name, title=person.name, stands="name")
        return _ask(state, Does.OPERATOR, row, person.name, now_ms, language)
    return say(replace(state, operator=person.name), language.idle.operator_now(person.name))


def _confirmed(state: Idle, said: Said, now_ms: int, language: Language) -> Answer:
    asking = state.asking
    if asking is None:  # a key: what is chosen is begun
        return _start(state, said, now_ms, language)
    if asking.does is Does.OPERATOR:
        named = replace(state, operator=asking.operator, asking=None)
        return say(named, language.idle.operator_now(asking.operator))
    return Answer(replace(state, asking=None), wish=_wish(state, asking.row, asking.operator))


def _no(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    if state.asking is None and state.listed is None:
        return Answer(replace(asleep(state), heard=state.heard), (Hush(),))
    kept = None if state.asking is None else state.listed
    return say(replace(state, asking=None, listed=kept), language.idle.dropped())


def _help(state: Idle, _said: Said, _now_ms: int, language: Language) -> Answer:
    return say(state, language.idle.may_say(where(state)))


_ACTS: Mapping[str, Callable[[Idle, Said, int, Language], Answer]] = {
    WAKE: _wake,
    "list_jobs": _jobs,
    "list_procedures": _procedures,
    "new_job": _new_job,
    "list_names": _names,
    "next_one": _next,
    "one_before": _before,
    "row_number": _number,
    "start_job": _start,
    "resume_job": _resume,
    "works": _works,
    "search": _search,
    "yes": _confirmed,
    "confirmed": _confirmed,
    "no": _no,
    "cancel": _no,
    "help": _help,
}


# What is common to them


def where(state: Idle) -> str:
    """Return at what the bay is, a code of what may be said: "begin", "list", "row" or "asked"."""
    if state.asking is not None:
        return "asked"
    if state.listed is None:
        return "begin"
    return "list" if state.listed.at is None else "row"


def _list(state: Idle, listed: Listed, language: Language) -> Answer:
    if not listed.rows:
        return say(replace(state, listed=None, asking=None), language.idle.nothing_there(listed.what))
    rows = [row_said(number, row) for number, row in enumerate(listed.rows[:SPOKEN_MOST], 1)]
    words = language.idle.rows(listed.what, len(listed.rows), rows, listed.word)
    return say(replace(state, listed=listed, asking=None), words)


def _choose(state: Idle, listed: Listed, at: int, language: Language) -> Answer:
    row = listed.rows[at]
    chosen = replace(state, listed=replace(listed, at=at), asking=None)
    if row.kind is RowKind.NAME:
        return say(replace(chosen, operator=row.key), language.idle.operator_now(row.key))
    return say(chosen, language.idle.row(row_said(at + 1, row)))


def row_said(number: int, row: Row) -> RowSaid:
    """Return ``row`` as it is spoken and shown."""
    return RowSaid(number, row.title, row.stands, row.step)


def _ask_or_begin(state: Idle, row: Row, said: Said, now_ms: int, language: Language) -> Answer:
    """Begin what was asked for by name: where anybody may be heard at any time, it is asked first."""
    operator = state.who if row.kind is RowKind.PROCEDURE else state.operator or row.operator
    if row.stands == "faulty":
        return say(state, language.idle.cannot("errors", row.title))
    if state.wake or said.by_hand:
        return _begins(state, row, operator, language)
    return _ask(state, Does.START if row.kind is RowKind.PROCEDURE else Does.RESUME, row, operator, now_ms, language)


def _ask(state: Idle, does: Does, row: Row, operator: str, now_ms: int, language: Language) -> Answer:
    match does:
        case Does.START:
            question = language.idle.ask_start(row.title, operator)
        case Does.RESUME:
            question = language.idle.ask_resume(row.title, operator)
        case Does.OPERATOR:
            question = language.idle.ask_operator(operator)
    return say(replace(state, asking=Asking(does, row, operator, question, now_ms + ASKED_MS)), question)


def _begins(state: Idle, row: Row, operator: str, language: Language) -> Answer:
    if row.stands == "faulty":
        return say(state, language.idle.cannot("errors", row.title))
    words = language.idle.starting if row.kind is RowKind.PROCEDURE else language.idle.resuming
    return Answer(replace(state, asking=None), wish=_wish(state, row, operator, words(row.title, operator)))


def _wish(state: Idle, row: Row, operator: str, first: str = "") -> Wish:
    if row.kind is RowKind.PROCEDURE:
        others = [one.name for one in state.known.people if one.name != operator]
        return StartJob(row, ", ".join([operator, *others]) if operator else "", state.card, first)
    return ResumeJob(row, operator if operator != row.operator else "", first)


def say(state: Idle, words: str) -> Answer:
    """Return the bay that says ``words``."""
    return Answer(replace(state, said=words), (Say(words),) if words else ())


def woken(state: Idle, now_ms: int) -> Idle:
    """Return the bay with somebody busy at it: how the last job ended was heard."""
    return replace(state, awake_until_ms=now_ms + AWAKE_MS, last=None if state.is_awake else state.last)


def after_job(known: Known, wake: str, ended: Ended, language: Language) -> Answer:
    """Return the bay behind a job, and what is said of how that ended."""
    words = language.idle.ended(ended.how, ended.title)
    return say(Idle(known, wake, last=ended), words)


def not_begun(state: Idle, why: str, title: str, now_ms: int, language: Language) -> Answer:
    """Return the bay where a job did not begin, and what is said of ``why``, a code."""
    return say(woken(replace(state, asking=None, listed=None), now_ms), language.idle.cannot(why, title))
