"""What comes of an input between jobs: the state behind it, what is said, and the job that is wanted. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from assistant.events import Adjust, Hush, Tone, ToneKind, VoiceKnob
from assistant.idle import beginning, choosing
from assistant.idle.intents import WAKE
from assistant.idle.passing import say, woken
from assistant.idle.scanning import scan_answer, with_card
from assistant.idle.state import (
    Between,
    CodeRead,
    Does,
    IdleInput,
    ListRow,
    NotSure,
    Outcome,
    Pressed,
    Shortlist,
    Uttered,
)
from assistant.language.port import Language

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
    chosen = (
        choosing.choose_row(state, shortlist, 0, language)
        if len(read.rows) == 1
        else choosing.tell_rows(state, shortlist, language)
    )
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
        return choosing.row_number(awake, Uttered("row_number", _whole(pressed.value), by_hand=True), now_ms, language)
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
        return beginning.read_back(state, Does.START, row, state.who, now_ms, language)
    return beginning.read_back(state, Does.RESUME, row, state.operator or row.operator, now_ms, language)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 4 else 0


def _by_key(rows: Sequence[ListRow], key: str) -> ListRow | None:
    return next((row for row in rows if row.key == key), None)


def _wake(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return say(state, language.equipment.yes())


def _help(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    return say(state, language.idle.may_say(choosing.stands_at(state)))


_ACTS: Mapping[str, Callable[[Between, Uttered, int, Language], Outcome]] = {
    WAKE: _wake,
    "list_jobs": choosing.tell_jobs,
    "list_procedures": choosing.tell_procedures,
    "new_job": choosing.tell_for_new_job,
    "list_names": choosing.tell_names,
    "next_one": choosing.next_row,
    "one_before": choosing.row_before,
    "row_number": choosing.row_number,
    "start_job": beginning.start_chosen,
    "resume_job": beginning.resume_chosen,
    "works": beginning.name_worker,
    "search": choosing.find_rows,
    "yes": beginning.do_what_was_asked,
    "confirmed": beginning.do_what_was_asked,
    "no": beginning.leave_it,
    "cancel": beginning.leave_it,
    "help": _help,
}
