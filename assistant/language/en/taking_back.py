"""Taking a confirmation back: what it was, whose it was, and what is open again."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.facts import Quantity
from assistant.language.en.numbers import number_words
from assistant.language.en.units import bolts_words, value_words
from assistant.language.en.words import bare, echo, plural, sentence, stage_name, step_name
from assistant.language.values import StageAt, StepAt


def take_back_this(what: str) -> str:
    return f"Take back: {what}."


def confirmed_by_another(name: str) -> str:
    return f"{sentence(bare(name)).rstrip('.')} confirmed that." if name else "Somebody else confirmed that."


def is_open_again(step: StepAt) -> str:
    return f"{step_name(step).capitalize()} is open again."


def back_in_step(step: StepAt, what: str, *, apart: bool = False) -> str:
    return f"{step_name(step)}. {what[:1].upper()}{what[1:]}" if apart else f"{step_name(step)}, {what}"


def step_taken_as_done() -> str:
    return "done"


def was_left_out(bolts: Sequence[int]) -> str:
    return f"{bolts_words(bolts)}, left out" if bolts else "left out"


def was_accepted() -> str:
    return "accepted for a reason"


def was_acknowledged(word: str) -> str:
    return f"the {word}, confirmed"


_CARDS = {
    "conditions": "the conditions",
    "persons": "the people",
    "equipment": "the equipment",
    "supplies": "the supplies",
    "spares": "the spare parts",
}


def card_confirmed(what: str) -> str:
    return f"{_CARDS.get(what, 'the preparation')}, confirmed"


def note_was_corrected(kind: str) -> str:
    return f"the {kind}, corrected"


def thing_told(name: str, *, missing: bool) -> str:
    return f"{bare(name)}, {'missing' if missing else 'here'}"


def was_started(name: str) -> str:
    return f"the timer {bare(name)}, started"


def timer_once_back(name: str, *, runs: bool) -> str:
    return f"The timer {bare(name)} {'runs on' if runs else 'stops'}."


def was_counted(number: int) -> str:
    return f"count {echo(number).replace(': ', ', ')}"


def were_fitted(number: int) -> str:
    return plural(number, "new part", "new parts")


def was_answered(*, yes: bool) -> str:
    return f"the answer {'yes' if yes else 'no'}"


def was_read(value: Decimal, unit: str) -> str:
    return f"reading {value_words(value, unit)}"


def were_tightened(bolts: Sequence[int], stage: StageAt | None, *, loose: bool) -> str:
    what = f"{bolts_words(bolts)}, {'loosened' if loose else 'tightened'}"
    return what if stage is None else f"{stage_name(stage)}. {what[:1].upper()}{what[1:]}"


def was_read_at_bolt(bolt: int) -> str:
    return f"the reading of bolt {number_words(bolt)}"


def was_held(bolt: int) -> str:
    return f"bolt {number_words(bolt)}, held open"


def was_freed(bolt: int) -> str:
    return f"bolt {number_words(bolt)}, in again"


def was_found_again() -> str:
    return "what was dropped, found"


def extra_was(how: str) -> str:
    return f"the extra work, {how}"


def shim_was_found(total: Quantity) -> str:
    return "nothing fitted" if not total.value else f"fitted, {value_words(total.value, total.unit)} in all"


def helper_told(name: str, *, came: bool) -> str:
    return f"{bare(name) if name else 'somebody'} {'helps' if came else 'has left'}"


def went_past_stop() -> str:
    return "on past the stop"


def gate_was_released() -> str:
    return "the gate, released"


def was_seen() -> str:
    return "the witness"


def were_replaced(bolts: Sequence[int]) -> str:
    return f"{bolts_words(bolts)}, replaced"


def were_new(group: str) -> str:
    return f"new {bare(group)}" if group else "new fasteners"
