"""Gates, a second person, and what is locked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.numbers import number_words
from assistant.language.en.phrases import phrases
from assistant.language.en.words import apart, at_most_four, bare, cut, step_name
from assistant.language.values import StepAt

_WORDS: Mapping[str, str] = {"release": "i_release", "witness": "i_have_seen"}


def who_is_second(what: str, step: StepAt, names: Sequence[str], *, may_go_on: bool) -> list[str]:
    does = "releases the gate at" if what == "release" else "witnesses"
    told = [f"Operator {number_words(number)}: {bare(name)}." for number, name in enumerate(names[:MOST_THINGS], 1)]
    how = "Say operator and the number, or type a name." if names else "Type the name."
    return [f"Who {does} {step_name(step)}?", *told, how, *(["Or say next."] if may_go_on else [])]


def release_ask(name: str, step: StepAt, reason: str) -> list[str]:
    return [
        f"{_first(name)} releases the gate at {step_name(step)}, because: {cut(apart(reason))}.",
        _say("release", name),
    ]


def witness_ask(name: str, step: StepAt) -> list[str]:
    return [f"{_first(name)}, look at {step_name(step)}.", f"Then say: {_word('witness')}."]


def _first(name: str) -> str:
    """Return a name at the beginning of a sentence."""
    return bare(name[:1].upper() + name[1:])


def _say(what: str, name: str) -> str:
    return f"{_first(name)}, say: {_word(what)}."


def _word(what: str) -> str:
    said = phrases(_WORDS[what])[0]
    return said[:1].upper() + said[1:]


def only_they_say(what: str, name: str) -> str:
    return f"Only the second person says it. {_say(what, name)}"


def released(name: str) -> str:
    return f"Released by {bare(name)}."


def witnessed(name: str) -> str:
    return f"Witnessed by {bare(name)}."


def gate_open(step: StepAt) -> str:
    named = step_name(step)
    return f"{named[:1].upper()}{named[1:]} is a gate, and not passed."


def gate_first(step: StepAt) -> str:
    return f"First the gate at {step_name(step)}."


def open_witness(step: StepAt) -> str:
    return f"{step_name(step)} is not witnessed"


def not_witnessed(steps: Sequence[StepAt]) -> str:
    return f"Not witnessed: {at_most_four([step_name(step) for step in steps])}." if steps else ""


def locked_in(names: Sequence[str]) -> str:
    return f"Locked: {at_most_four([bare(name) for name in names])}." if names else ""
