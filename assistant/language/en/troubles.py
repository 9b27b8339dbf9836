"""Bolts that broke, are stripped, lost or wrong, and what was dropped."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.language.en.talk import text as fixed
from assistant.language.en.units import bolts_words
from assistant.language.en.words import at_most_four, bare, sentence, step_name
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt

_WHAT = {
    TroubleWhat.BROKEN: "broke",
    TroubleWhat.STRIPPED: "is stripped",
    TroubleWhat.LOST: "is lost",
    TroubleWhat.WRONG: "is the wrong one",
}
_HOW = {FreedHow.REPLACED: "is replaced", FreedHow.FOUND: "is found", FreedHow.AGAIN: "is in again"}


def _of_group(group: str, bolt: int) -> str:
    return f"{bolts_words([bolt])} of the {bare(group)}"


def _asks(*, others: bool) -> str:
    return fixed(Sentence.CONFIRMED_OR_NO if others else Sentence.SAY_CONFIRMED)


def held_ask(group: str, bolt: int, what: TroubleWhat, *, sure: bool, others: bool) -> list[str]:
    name = _of_group(group, bolt)
    said = (
        f"{name} {_WHAT[what]}?" if sure else f"I take it from the {bare(group)}: {bolts_words([bolt])} {_WHAT[what]}?"
    )
    return [said[:1].upper() + said[1:], _asks(others=others)]


def counts_no_more() -> str:
    return "What it got does not count any more."


def held(bolt: int) -> str:
    return f"Held open: {bolts_words([bolt])}."


def open_again(step: StepAt) -> str:
    return sentence(f"{step_name(step)} is open again")


def waits(bolt: int, what: TroubleWhat) -> str:
    return sentence(f"{bolts_words([bolt])} {_WHAT[what]}, and waits")


def ways_out(bolt: int, what: TroubleWhat) -> str:
    name = bolts_words([bolt])
    again = {TroubleWhat.LOST: ", or found it", TroubleWhat.BROKEN: ""}.get(what, f", or {name} is in again")
    return f"Say {name} is replaced{again}, or skip this."


def still_waiting(bolts: Sequence[int]) -> str:
    return f"Still held open: {at_most_four([bolts_words([bolt]) for bolt in bolts])}."


def freed_ask(group: str, bolt: int, how: FreedHow, *, others: bool) -> str:
    return f"{sentence(f'{_of_group(group, bolt)} {_HOW[how]}').rstrip('.')}? {_asks(others=others)}"


def freed(bolt: int, how: FreedHow) -> str:
    return sentence(f"{bolts_words([bolt])} {_HOW[how]}")


def begins_in(step: StepAt) -> str:
    return f"It begins with its first stage in {step_name(step)}."


def left_ask(group: str, bolt: int) -> str:
    return f"Go on without {_of_group(group, bolt)}"


def dropped_kept() -> str:
    return "A dropped bolt is written down. When it is out, say found it."


def _fallen(step: StepAt | None, group: str, bolt: int) -> str:
    if group:
        return f"the lost {_of_group(group, bolt)}"
    return f"the bolt dropped in {step_name(step)}" if step else "the bolt that was dropped"


def out_ask(step: StepAt | None, group: str, bolt: int, *, others: bool) -> str:
    return f"{sentence(_fallen(step, group, bolt)).rstrip('.')} is out of the machine? {_asks(others=others)}"


def out_again(step: StepAt | None, group: str, bolt: int) -> str:
    return f"Out again: {_fallen(step, group, bolt)}."


def came_out_ask(step: StepAt | None, group: str, bolt: int) -> str:
    return f"Not found yet: {_fallen(step, group, bolt)}."


def open_bolt(group: str, bolt: int, what: TroubleWhat, *, given_up: bool) -> str:
    return f"{_of_group(group, bolt)} {_WHAT[what]}{', and was left so' if given_up else ''}"


def open_dropped(step: StepAt | None, group: str, bolt: int) -> str:
    return f"{_fallen(step, group, bolt)} is not found"


def known_reason(names: Sequence[str]) -> str:
    return f"Known: {at_most_four(names)}." if names else ""
