"""The place in the job: greeting, cards of the preparation, hazards, steps, and what is left."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.caution import CAUTION
from assistant.language.en.numbers import number_words
from assistant.language.en.units import UNITS, bolts_words, duration_words, unit_words
from assistant.language.en.words import bare, ear, plural, sentence, stage_name, step_name
from assistant.language.values import StageAt, StepAt

# Greeting


def hello(title: str, steps: int, *, invented: bool = False) -> list[str]:
    lines = [f"{bare(title)}.", f"It has {plural(steps, 'step', 'steps')}.", CAUTION]
    return [*lines, "The values are invented, for practice only."] if invented else lines


def book_time(seconds: int | None) -> str:
    return "" if seconds is None else f"By the book: {duration_words(seconds)}."


_DISTANCES = {"km": ("kilometre", "kilometres"), "mi": ("mile", "miles")}


def due_again(distance: Decimal | None, unit: str, hours: Decimal | None, months: int | None) -> list[str]:
    ways = []
    if distance is not None:
        ways.append(plural(distance, *_DISTANCES[unit]))
    if hours is not None:
        ways.append(f"{plural(hours, 'hour', 'hours')} of running")
    if months is not None:
        years, rest = divmod(months, 12)
        ways.append(plural(months, "month", "months") if rest else plural(years, "year", "years"))
    lines = [f"It is due again after {ways[0]}."] if ways else []
    lines += [f"Or after {way}." for way in ways[1:]]
    return [*lines, "Whichever comes first."] if len(ways) > 1 else lines


# Preparation


def person(kind: str, count: int) -> str:
    return f"{number_words(count)} {kind}"


def item(name: str, quantity: Decimal | None, unit: str, *, single_use: bool) -> str:
    fresh = single_use and not name.lower().startswith("new ")
    name = f"new {name}" if fresh else name
    if quantity is None or (quantity == 1 and not unit):
        return name
    if not unit:
        return f"{name} times {number_words(quantity)}"
    return f"{number_words(quantity)} {unit_words(unit, quantity) if unit in UNITS else unit} of {name}"


_CARDS = {
    "conditions": "Before you start.",
    "persons": "People needed:",
    "equipment": "Have at hand:",
    "supplies": "Supplies:",
    "spares": "Spare parts:",
    "branch": "This needs:",
}


def card(what: str, things: Sequence[str], *, more: bool = False) -> str:
    begins = "And:" if more else _CARDS[what]
    if what == "conditions":
        return " ".join([begins, *(ear(thing) for thing in things)])
    return f"{begins} {', '.join(bare(thing) for thing in things)}."


def thing(name: str) -> str:
    return sentence(name)


# Hazards


_SIGNALS = {"danger": "Danger.", "warning": "Warning.", "caution": "Caution.", "notice": "Notice."}


def hazard(word: str, hazard: str, consequence: str, avoid: str) -> str:
    return " ".join([_SIGNALS[word], ear(hazard), *(ear(text) for text in (consequence, avoid) if text)])


def hazard_to_come(word: str) -> str:
    return f"{_SIGNALS[word].rstrip('.')} before the work"


# Steps


def chapter(name: str) -> str:
    return f"Now: {bare(name)}."


def step_number(step: StepAt, of: int | None) -> str:
    return f"{_place(step, of)}."


def _place(step: StepAt, of: int | None) -> str:
    name = "Extra step" if step.behind else "Closing step" if step.closing else "Step"
    said = f"{name} {number_words(step.number)}"
    return said if of is None else f"{said} of {number_words(of)}"


def instruction(text: str) -> str:
    return ear(text)


def remark(text: str) -> str:
    return sentence(text)


def skip_step(step: StepAt) -> str:
    return f"Skip {step_name(step)}"


# Where the job is, and what is left


def at_step(
    step: StepAt,
    of: int,
    *,
    stage: StageAt | None = None,
    bolts: Sequence[int] = (),
    done: bool = False,
    hazard: bool = False,
) -> str:
    words = _place(step, of)
    if stage is not None:
        words += f", {stage_name(stage)}"
    if bolts:
        words += f", {bolts_words(bolts)} {'done before' if done else 'still to do'}"
    return f"{words}{_WAITS if hazard else ''}."


_WAITS = ", with a hazard to confirm"


def in_preparation(*, hazard: bool = False) -> str:
    return f"Preparation{_WAITS if hazard else ''}."


def at_end() -> str:
    return "The end of the steps."


def bolts_left(number: int, *, passes: bool = False) -> str:
    what = "pass" if passes else "stage"
    return f"In this {what}, {plural(number, 'bolt is', 'bolts are')} left." if number else f"This {what} is done."


def stages_left(number: int, *, passes: bool = False) -> str:
    one, many = ("pass comes", "passes come") if passes else ("stage comes", "stages come")
    return sentence(f"{plural(number, one, many)} after it") if number else ""


def steps_left(number: int) -> str:
    return sentence(f"{plural(number, 'step is', 'steps are')} left in the job") if number else "No step is left."


def steps_done(number: int) -> str:
    return sentence(plural(number, "step is done", "steps are done")) if number else "No step is done yet."
