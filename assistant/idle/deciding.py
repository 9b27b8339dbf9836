"""What comes of an input between jobs: the state behind it, what is said, and the job that is wanted. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from assistant.events import Adjust, Hush, Say, Tone, ToneKind, VoiceKnob
from assistant.idle.intents import WAKE
from assistant.idle.passing import asleep
from assistant.idle.scanning import scan_answer, with_card
from assistant.idle.state import (
    ASKED_MS,
    AWAKE_MS,
    SPOKEN_MOST,
    Asking,
    AtHand,
    Between,
    CodeRead,
    Does,
    Ended,
    IdleInput,
    JobCard,
    ListRow,
    NotSure,
    Outcome,
    Pressed,
    ResumeJob,
    RowKind,
    Shortlist,
    StartJob,
    Uttered,
    Wish,
)
from assistant.language.port import Language
from assistant.language.topics.idle import RowSpoken

_KNOBS = {
    "louder": Adjust(VoiceKnob.VOLUME, 1),
    "quieter": Adjust(VoiceKnob.VOLUME, -1),
    "faster": Adjust(VoiceKnob.RATE, 1),
    "slower": Adjust(VoiceKnob.RATE, -1),
}


def answer_to(state: Between, given: IdleInput, now_ms: int, language: Language) -> Outcome:
    """Return what comes of ``given`` at ``now_ms`` [ms since the epoch]."""
    if isinstance(given, NotSure):
        return Outcome(woken(state, now_ms), (Tone(ToneKind.NOT_UNDERSTOOD),)) if state.is_awake else Outcome(state)
    if isinstance(given, CodeRead):
        return _scanned(woken(replace(state, heard=given.text), now_ms), given, language)
    if isinstance(given, Pressed):
        return _pressed(state, given, now_ms, language)
    return _said(state, given, now_ms, language)


def _scanned(state: Between, given: CodeRead, language: Language) -> Outcome:
    """Read a code back, with what may be chosen for it; it begins nothing."""
    read = scan_answer(state, given, language)
    state = with_card(state, read)
    if not read.rows:
        return say(state, " ".join(read.words))
    shortlist = Shortlist("found", read.rows, given.text)
    chosen = _choose(state, shortlist, 0, language) if len(read.rows) == 1 else _list(state, shortlist, language)
    return say(chosen.state, " ".join((*read.words, chosen.state.said)))


def _said(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    awake = woken(state, now_ms)
    if said.intent in _KNOBS:
        return Outcome(awake, (_KNOBS[said.intent],))
    if said.intent == "be_quiet":
        return Outcome(awake, (Hush(),))
    if said.intent == "repeat":
        return say(awake, awake.said)
    return _ACTS[said.intent](awake, said, now_ms, language)


def _pressed(state: Between, pressed: Pressed, now_ms: int, language: Language) -> Outcome:
    """Do what a button asks for; a job that is chosen on the page is read back, and begins by a second press."""
    awake = woken(state, now_ms)
    if pressed.button in ("start_job", "resume_job"):
        return _ask_of_page(awake, pressed, now_ms, language) or Outcome(state)
    if pressed.button in ("yes", "confirmed") and state.asking is None:
        return Outcome(state)  # its question ran out: a button confirms what was read back, and nothing else
    if pressed.button == "works" and pressed.value:
        named = next((one.name for one in state.known.people if one.name == pressed.value), "")
        now_named = replace(awake, operator=named, asking=None)
        return say(now_named, language.idle.operator_now(named)) if named else Outcome(state)
    if pressed.button == "row_number":
        return _number(awake, Uttered("row_number", _whole(pressed.value), by_hand=True), now_ms, language)
    if pressed.button not in _ACTS:
        return Outcome(state)
    return _said(state, Uttered(pressed.button, name=pressed.value, by_hand=True), now_ms, language)


def _ask_of_page(state: Between, pressed: Pressed, now_ms: int, language: Language) -> Outcome | None:
    """Read back the job of a row that was pressed; None where there is no such row any more."""
    begins = pressed.button == "start_job"
    row = _by_key(state.known.procedures if begins else state.known.jobs, pressed.value)
    if row is None:
        return None
    if row.stands == "faulty":
        return say(state, language.idle.cannot("errors", row.title))
    if begins:
        state = replace(state, card=pressed.card or state.card)
        return _ask(state, Does.START, row, state.who, now_ms, language)
    return _ask(state, Does.RESUME, row, state.operator or row.operator, now_ms, language)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 4 else 0


def _by_key(rows: Sequence[ListRow], key: str) -> ListRow | None:
    return next((row for row in rows if row.key == key), None)


# What was said


def _wake(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return say(state, language.equipment.yes())


def _jobs(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return _list(state, Shortlist("jobs", state.known.jobs), language)


def _procedures(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return _list(state, Shortlist("procedures", state.known.procedures), language)


def _new_job(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    return _procedures(replace(state, card=JobCard()), said, now_ms, language)


def _names(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    rows = tuple(_name_row(one.name) for one in state.known.people)
    return _list(state, Shortlist("names", rows), language)


def _search(state: Between, said: Uttered, _now_ms: int, language: Language) -> Outcome:
    word = said.name
    rows = (*state.known.jobs, *state.known.procedures)
    found = tuple(row for row in rows if word in f"{row.title} {row.machine} {row.customer}".lower())
    if not found:
        return say(state, language.idle.nothing_there("found", word))
    if len(found) == 1:
        return _choose(state, Shortlist("found", found, word), 0, language)
    return _list(state, Shortlist("found", found, word), language)


def _next(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    listed = state.listed
    if listed is None:  # a pedal alone comes this far: the jobs first, where there are any
        return (_jobs if state.known.jobs else _procedures)(state, said, now_ms, language)
    at = 0 if listed.at is None else listed.at + 1
    if at >= len(listed.rows):
        return say(state, language.idle.no_row(0, len(listed.rows)))
    return _choose(state, listed, at, language)


def _before(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    if state.listed is None:
        return say(state, language.idle.choose_first())
    return _choose(state, state.listed, max(0, (state.listed.at or 0) - 1), language)


def _number(state: Between, said: Uttered, _now_ms: int, language: Language) -> Outcome:
    if state.listed is None:
        return say(state, language.idle.choose_first())
    if not 1 <= said.number <= len(state.listed.rows):
        return say(state, language.idle.no_row(said.number, len(state.listed.rows)))
    return _choose(state, state.listed, said.number - 1, language)


def _start(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    row = state.listed.chosen if state.listed else None
    if row is None or row.kind is RowKind.NAME:
        return say(state, language.idle.choose_first())
    return _ask_or_begin(state, row, said, now_ms, language)


def _resume(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    row = state.listed.chosen if state.listed else None
    if row is None and len(state.known.jobs) == 1:
        row = state.known.jobs[0]
    if row is None or row.kind is not RowKind.JOB:
        return _jobs(state, said, now_ms, language)
    return _ask_or_begin(state, row, said, now_ms, language)


def _works(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    person = next((one for one in state.known.people if one.name == said.name), None)
    if person is None:
        return say(state, language.idle.no_name())
    if person.is_alike and not said.by_hand:
        alike = [one.name for one in state.known.people if one.sounds == person.sounds and one != person]
        asked = _ask(state, Does.OPERATOR, _name_row(person.name), person.name, now_ms, language)
        return _with_others(asked, alike)
    return say(replace(state, operator=person.name), language.idle.operator_now(person.name))


def _confirmed(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    asking = state.asking
    if asking is None:  # a key: what is chosen is begun
        return _start(state, said, now_ms, language)
    if asking.does is Does.OPERATOR:
        named = replace(state, operator=asking.operator, asking=None)
        return say(named, language.idle.operator_now(asking.operator))
    return Outcome(replace(state, asking=None), wish=_wish(state, asking.row, asking.operator))


def _with_others(asked: Outcome, others: Sequence[str]) -> Outcome:
    """Return the question for a name, behind whose "no" the ``others`` are asked for, one after the other."""
    assert asked.state.asking is not None
    return replace(asked, state=replace(asked.state, asking=replace(asked.state.asking, others=tuple(others))))


def _no(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    if state.asking is not None and state.asking.others and said.intent == "no":
        name, *others = state.asking.others
        return _with_others(_ask(state, Does.OPERATOR, _name_row(name), name, now_ms, language), others)
    if state.asking is None and state.listed is None:
        return Outcome(replace(asleep(state), heard=state.heard), (Hush(),))
    kept = None if state.asking is None else state.listed
    return say(replace(state, asking=None, listed=kept), language.idle.dropped())


def _help(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return say(state, language.idle.may_say(stands_at(state)))


_ACTS: Mapping[str, Callable[[Between, Uttered, int, Language], Outcome]] = {
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


def stands_at(state: Between) -> str:
    """Return at what the bay is, a code of what may be said: "begin", "list", "asked", or a kind of row."""
    if state.asking is not None:
        return "asked"
    if state.listed is None:
        return "begin"
    chosen = state.listed.chosen
    return "list" if chosen is None else chosen.kind.value


def _list(state: Between, listed: Shortlist, language: Language) -> Outcome:
    if not listed.rows:
        return say(replace(state, listed=None, asking=None), language.idle.nothing_there(listed.what))
    rows = [row_said(number, row) for number, row in enumerate(listed.rows[:SPOKEN_MOST], 1)]
    words = language.idle.rows(listed.what, len(listed.rows), rows, listed.word)
    return say(replace(state, listed=listed, asking=None), words)


def _choose(state: Between, listed: Shortlist, at: int, language: Language) -> Outcome:
    row = listed.rows[at]
    chosen = replace(state, listed=replace(listed, at=at), asking=None)
    if row.kind is RowKind.NAME:
        return say(replace(chosen, operator=row.key), language.idle.operator_now(row.key))
    return say(chosen, language.idle.row(row_said(at + 1, row)))


def _name_row(name: str) -> ListRow:
    return ListRow(kind=RowKind.NAME, key=name, title=name, stands="name")


def row_said(number: int, row: ListRow) -> RowSpoken:
    """Return ``row`` as it is spoken and shown."""
    return RowSpoken(number, row.title, row.stands, row.step)


def _ask_or_begin(state: Between, row: ListRow, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Begin what was asked for by name: where anybody may be heard at any time, it is asked first."""
    operator = state.who if row.kind is RowKind.PROCEDURE else state.operator or row.operator
    if row.stands == "faulty":
        return say(state, language.idle.cannot("errors", row.title))
    if state.wake or said.by_hand:
        return _begins(state, row, operator, language)
    return _ask(state, Does.START if row.kind is RowKind.PROCEDURE else Does.RESUME, row, operator, now_ms, language)


def _ask(state: Between, does: Does, row: ListRow, operator: str, now_ms: int, language: Language) -> Outcome:
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


def say(state: Between, words: str) -> Outcome:
    """Return the bay that says ``words``."""
    return Outcome(replace(state, said=words), (Say(words),) if words else ())


def woken(state: Between, now_ms: int) -> Between:
    """Return the bay with somebody busy at it: how the last job ended was heard."""
    return replace(state, awake_until_ms=now_ms + AWAKE_MS, last=None if state.is_awake else state.last)


def after_job(known: AtHand, wake: str, ended: Ended, language: Language) -> Outcome:
    """Return the bay behind a job, and what is said of how that ended."""
    words = language.idle.job_ended(ended.how, ended.title)
    return say(Between(known, wake, last=ended), words)


def not_begun(state: Between, why: str, title: str, now_ms: int, language: Language) -> Outcome:
    """Return the bay where a job did not begin, and what is said of ``why``, a code."""
    return say(woken(replace(state, asking=None, listed=None), now_ms), language.idle.cannot(why, title))
