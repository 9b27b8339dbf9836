"""Every sentence that is spoken, in one place; those that never change are in :mod:`assistant.language.en.sentences`.

Rules of the ear: units in words, no digits, one number in a sentence where it can be, at most four things to hold in
mind, at most twenty words in a sentence of ours. Words of the procedure and of the mechanic are passed on as they are,
with digits written out.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.caution import CAUTION
from assistant.fastening.units import Angle, AngleUnit, Torque
from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.sentences import SAY_CONFIRMED
from assistant.language.en.units import (
    angle_words,
    bolts_words,
    torque_words,
    value_words,
)
from assistant.procedure.model import Group, Hazard, Limits
from assistant.procedure.steps.count import Direction

_DIGITS = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
_SEAM = re.compile(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])")


def ear(text: str) -> str:
    """Write out the digits in words of a person, and end them as a sentence."""
    text = _DIGITS.sub(lambda found: _written(found[0]), " ".join(text.split()))
    return text if not text or text[-1] in ".?!" else f"{text}."


def _written(digits: str) -> str:
    return number_words(Decimal(digits)) if len(digits) <= 6 else digit_words(Decimal(digits))


def apart(text: str) -> str:
    """Part digits from letters, so that "M10" does not become one word when its digits are written out."""
    return _SEAM.sub(" ", text)


def sentence(text: str) -> str:
    """Begin with a capital letter and end with a full stop."""
    return ear(text[:1].upper() + text[1:])


def bare(text: str) -> str:
    """Return words of the procedure without their full stop, to stand inside a sentence."""
    return ear(text).rstrip(".?!")


def listed(things: Sequence[str]) -> str:
    """Join things with commas and "and"."""
    return things[0] if len(things) == 1 else f"{', '.join(things[:-1])} and {things[-1]}"


def plural(number: int | Decimal, one: str, many: str) -> str:
    """Say how many of something there are."""
    return f"{number_words(number)} {one if number == 1 else many}"


def echo(number: int | Decimal) -> str:
    """Say a number, and digit by digit where it sounds like another: "fifteen: one five"."""
    words = number_words(number)
    return f"{words}: {digit_words(number)}" if sounds_alike(number) else words


# Values


def target(value: Torque | Angle) -> str:
    """Say the value of a stage as a sentence."""
    return sentence(angle_words(value) if isinstance(value, Angle) else torque_words(value))


def target_surely(value: Torque | Angle, *, at_bolt: bool = False) -> str:
    """Say the value, and digit by digit too where it sounds like another: "Eighteen newton metres. One eight.".

    ``at_bolt`` says that another number is set on the wrench.
    """
    said = f"{target(value).rstrip('.')} at the bolt." if at_bolt else target(value)
    number = value.to(AngleUnit.DEGREE).value if isinstance(value, Angle) else value.value
    by_hand = isinstance(value, Angle) and "," in said  # "a quarter turn" tells it apart already
    return said if by_hand or not sounds_alike(number) else f"{said} {sentence(digit_words(number))}"


def bolts(numbers: Sequence[int]) -> str:
    """Say bolts as a sentence."""
    return sentence(bolts_words(numbers))


def hidden(group: Group, numbers: Sequence[int]) -> str:
    """Call out the hidden ones among bolts, or ""."""
    return " ".join(
        f"Bolt {number_words(one.bolt)} is hidden: {bare(one.where)}." for one in group.hidden if one.bolt in numbers
    )


def limits(what: Limits) -> str:
    """Say the limits of a reading."""
    low = "" if what.low is None else f"At least {value_words(what.low, what.unit)}."
    high = "" if what.high is None else f"At most {value_words(what.high, what.unit)}."
    return f"{low} {high}".strip() or "There is no limit."


# Places


def step_number(number: int, of: int, *, closing: bool) -> str:
    """Say which step this is."""
    return f"{'Closing step' if closing else 'Step'} {number_words(number)} of {number_words(of)}."


def stage_number(stage: int, of: int, *, again: bool = False) -> str:
    """Say which stage this is, and that it is done ``again``; nothing when there is one only."""
    if of == 1:
        return ""
    return f"Stage {number_words(stage)} of {number_words(of)}{', once more' if again else ''}."


def group_name(group: Group) -> str:
    """Say which group comes, with its size."""
    return sentence(f"{bare(group.name)}, {bare(group.size)}" if group.size else bare(group.name))


_CARDS = {
    "conditions": "Before you start.",
    "persons": "People needed:",
    "equipment": "Have at hand:",
    "supplies": "Supplies:",
    "spares": "Spare parts:",
}


def card(what: str, things: Sequence[str]) -> str:
    """Read a card of the preparation."""
    if what == "conditions":
        return " ".join([_CARDS[what], *(ear(thing) for thing in things)])
    return f"{_CARDS[what]} {', '.join(bare(thing) for thing in things)}."


def hazard(one: Hazard) -> str:
    """Read a hazard: signal word, hazard, consequence, how to avoid it; then ask for the word."""
    return f"{hazard_again(one)} {SAY_CONFIRMED}"


def hazard_again(one: Hazard) -> str:
    """Read a hazard that was acknowledged, without asking for it again."""
    parts = [f"{one.word.value.capitalize()}.", ear(one.hazard)]
    return " ".join([*parts, *(ear(text) for text in (one.consequence, one.avoid) if text)])


def chapter(name: str) -> str:
    """Say that a chapter of the procedure begins."""
    return f"Now: {bare(name)}."


def progress(place: str, stage: int | None, numbers: Sequence[int], more: str = "", *, done: bool = False) -> str:
    """Say in one breath where the job is: "Step twelve of fifty, stage two, bolts four to eight still to do.".

    ``done`` says that the bolts were done before, and somebody came back to them.
    """
    words = place.rstrip(".")
    if stage is not None:
        words += f", stage {number_words(stage)}"
    if numbers:
        words += f", {bolts_words(numbers)} {'done before' if done else 'still to do'}"
    return f"{words}{more}."


def bolts_left(number: int) -> str:
    """Say how many bolts of this stage are open."""
    return f"In this stage, {plural(number, 'bolt is', 'bolts are')} left." if number else "This stage is done."


def stages_left(number: int) -> str:
    """Say how many stages come after this one, or ""."""
    return sentence(f"{plural(number, 'stage comes', 'stages come')} after it") if number else ""


def steps_left(number: int) -> str:
    """Say how many steps are open in the whole job."""
    return sentence(f"{plural(number, 'step is', 'steps are')} left in the job") if number else "No step is left."


def how_many(number: int) -> str:
    """Say a number as an answer."""
    return sentence(echo(number))


def how_many_bolts(number: int) -> str:
    """Say how many bolts are meant now."""
    return sentence(plural(number, "bolt", "bolts"))


def done_of(done: int, of: int) -> str:
    """Say how many bolts of the stage are done."""
    return f"{sentence(number_words(done)).rstrip('.')} of {number_words(of)} in this stage are done."


def counted(number: int) -> str:
    """Say how many bolts a stage had, when they went by one at a time."""
    return f"That makes {echo(number)}."


def now_at(numbers: Sequence[int]) -> str:
    """Say where in the stage we still are."""
    return f"You are at {bolts_words(numbers)}."


# Asking and answering


def hello(title: str, steps: int, *, invented: bool = False) -> list[str]:
    """Greet: what job, how long, what comes before it, and whether its values are ``invented``."""
    lines = [f"{bare(title)}.", f"It has {plural(steps, 'step', 'steps')}.", CAUTION]
    return [*lines, "The values of this procedure are invented, for practice only."] if invented else lines


def count_ask(group: Group, direction: Direction, place: str) -> list[str]:
    """Say what to count, where it goes, and what hides."""
    lines = [f"Place: {bare(place)}."] if place and direction is Direction.OUT else []
    return lines + [f"Do not miss the hidden one: {bare(one.where)}." for one in group.hidden[:3]]


def count_match(count: int) -> str:
    """Read back a count that is right."""
    return sentence(echo(count))


def count_wrong(count: int, expected: int | None) -> list[str]:
    """Read back a count that is not what it must be, without that when ``expected`` is None."""
    return [
        f"You count {echo(count)}.",
        "That does not agree." if expected is None else f"There should be {echo(expected)}.",
        "Count again.",
        "To accept your count, say confirmed.",
    ]


def reading_wrong(value: Decimal, what: Limits) -> list[str]:
    """Read back a reading out of limits."""
    low = what.low is not None and value < what.low
    edge = what.low if low else what.high
    return [
        f"You read {echo(value)}.",
        f"That is {'below' if low else 'above'} the limit of {value_words(edge or 0, what.unit)}.",
        "Measure again.",
        "To accept your reading, say confirmed.",
    ]


def reading_right(value: Decimal, unit: str) -> str:
    """Read back a reading within its limits."""
    said = sentence(value_words(value, unit))
    return f"{said} That is {digit_words(value)}." if sounds_alike(value) else said


def answer_wrong(answer: str, expected: str) -> list[str]:
    """Read back an answer that is not the right one."""
    return [
        f"You say {answer}.",
        f"It should be {expected}.",
        "Check again.",
        "To accept your answer, say confirmed.",
    ]


_NOTE_WORDS = 40
"""Words of a note that are read back: more nobody compares by ear with what was said. Ours, not published."""


def reason_then(summary: str, reason: str, told: Sequence[str] = (), *, most: int = _NOTE_WORDS) -> list[str]:
    """Read back the reason (``most`` words of it), what it is about and what it is for, and ask for the word."""
    return [f"You said: {_cut(reason, most)}.", *told, f"{summary}?", SAY_CONFIRMED]


def short(text: str, most: int) -> str:
    """Return the first ``most`` words [count] of a long note; at most twice as many where digits stand in them."""
    words = text.split()
    head = " ".join(words[:most])
    said = bare(apart(head)).split()
    room = most if apart(head) == head else 2 * most
    return " ".join(said[:room]) + ("" if len(words) <= most and len(said) <= room else " and so on")


def _cut(text: str, most: int) -> str:
    words = bare(text).split()
    return " ".join(words) if len(words) <= most else " ".join(words[:most]) + " and so on"


def note_kept(kind: str, text: str) -> str:
    """Read a note back; of a long one its beginning."""
    return f"{'Problem' if kind == 'problem' else 'Note'} kept: {short(text, _NOTE_WORDS)}."


def accept_count(count: int) -> str:
    """Say what accepting a count means."""
    return f"Accept {echo(count).replace(': ', ', ')}"


def accept_reading(value: Decimal, unit: str) -> str:
    """Say what accepting a reading means."""
    return f"Accept {value_words(value, unit)}"


def accept_answer(answer: str) -> str:
    """Say what accepting an answer means."""
    return f"Accept the answer {answer}"


def skip_step(number: int, *, closing: bool) -> str:
    """Say what leaving out a step means."""
    return f"Skip {step_name(number, closing=closing)}"


def skip_bolts(numbers: Sequence[int], stage: int) -> str:
    """Say what leaving out bolts means."""
    return f"Skip {bolts_words(numbers)} in stage {number_words(stage)}"


# Help


def can_say(things: Sequence[str]) -> str:
    """Say what can be said, at most four things."""
    return f"You can say: {', '.join(things)}."


def step_name(number: int, *, closing: bool) -> str:
    """Name a step inside a sentence."""
    return f"{'closing step' if closing else 'step'} {number_words(number)}"
