"""Going to a named step, back by some, back to where somebody was, and what may be done while something waits."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.numbers import number_words
from assistant.language.en.words import at_most_four, bare, listed, plural, sentence, step_name
from assistant.language.values import StepAt

# Names


def step_names(step: StepAt) -> list[str]:
    return [step_name(step).replace("-", " ")]


def chapter_names(name: str) -> list[str]:
    words = re.sub(r"[^a-z ]+", " ", bare(name).lower().replace("'", "")).split()
    return [" ".join(words)] if words else []


_KINDS = {"tighten": "tightening", "count": "counting", "wait": "waiting"}


def kind_names(kind: str) -> list[str]:
    return [_KINDS[kind]] if kind in _KINDS else []


# What stays open


def stays_open(steps: Sequence[StepAt]) -> str:
    if not steps:
        return ""
    return f"{sentence(plural(len(steps), 'step stays open', 'steps stay open')).rstrip('.')}{_which(steps)}."


def steps_open(steps: Sequence[StepAt]) -> str:
    if not steps:
        return ""
    return f"{sentence(plural(len(steps), 'step is open', 'steps are open')).rstrip('.')}{_which(steps)}."


def _which(steps: Sequence[StepAt]) -> str:
    """Name steps by their numbers, in runs; "" where that would be more than an ear holds."""
    runs = [
        [step for _, step in run]
        for _, run in groupby(enumerate(steps), lambda one: (one[1].closing, one[1].behind, one[1].number - one[0]))
    ]
    if len(runs) > MOST_THINGS // 2 + 1:
        return ""
    return f": {listed([_run(run) for run in runs])}"


def _run(run: Sequence[StepAt]) -> str:
    if run[0].behind:
        return listed([step_name(step) for step in run])
    first = f"{'closing step ' if run[0].closing else ''}{number_words(run[0].number)}"
    if len(run) == 1:
        return first
    return f"{first} {'and' if len(run) == 2 else 'to'} {number_words(run[-1].number)}"


def say_go_to(step: StepAt) -> str:
    return f"Say go to {step_name(step)}."


def on_detour(step: StepAt | None) -> str:
    return f"A detour from {step_name(step)}." if step else "A detour."


# What is in the way


def way_confirmed(step: StepAt | None) -> str:
    return f"To go to {step_name(step)}, say confirmed." if step else "To go there, say confirmed."


_WAYS = {
    "need": "",
    "stop": "The job stops before it.",
    "gate": "A gate before it is not passed.",
    "wait": "Not over: {}.",
    "lock_out": "Not in: {}.",
    "lock_in": "Still in: {}.",
    "part_on": "Still on: {}.",
    "part_off": "Still off: {}.",
    "new_part": "Not fitted: {}.",
    "fasteners_in": "Still in: {}.",
    "fasteners_out": "Still out: {}.",
}


def obstacle(why: str, name: str, first: StepAt | None) -> list[str]:
    return [_WAYS.get(why, "").format(bare(name)), f"First {step_name(first)}." if first else ""]


def needs(steps: Sequence[StepAt]) -> str:
    return f"Not done, and needed here: {at_most_four([step_name(step) for step in steps])}." if steps else ""


# Meanwhile


_WHILE = {True: "While it cools", False: "While it cures", None: "Meanwhile"}


def may_do(steps: Sequence[StepAt], cools: bool | None) -> list[str]:
    if not steps:
        return []
    names = [step_name(step) for step in steps[:MOST_THINGS]]
    some = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
    return [f"{_WHILE[cools]}, {some}: say go to {names[0]}."]
