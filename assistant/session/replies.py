"""Sentences about the work, asked of English with what the session has, until it asks the port."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.language.en import answers, steps, talk, words
from assistant.language.en import bolts as said
from assistant.language.values import StepAt
from assistant.procedure.model import Group, Hazard, Limits
from assistant.procedure.steps.count import Direction
from assistant.session import sentences

ear, sentence, apart, listed, plural, bare = (
    words.ear,
    words.sentence,
    words.apart,
    words.listed,
    words.plural,
    words.bare,
)
bolts, now_at, counted, done_of, how_many_bolts = (
    said.bolts,
    said.now_at,
    said.counted,
    said.done_of,
    said.how_many_bolts,
)
stage_number, target, target_surely, skip_bolts = (
    said.stage_number,
    said.target,
    said.target_surely,
    said.skip_bolts,
)
card, chapter, hello, bolts_left, stages_left, steps_left = (
    steps.card,
    steps.chapter,
    steps.hello,
    steps.bolts_left,
    steps.stages_left,
    steps.steps_left,
)
accept_count, accept_reading, count_match, count_wrong, how_many, reading_right = (
    answers.accept_count,
    answers.accept_reading,
    answers.count_match,
    answers.count_wrong,
    answers.how_many,
    answers.reading_right,
)
note_kept = talk.note_kept


def hidden(group: Group, numbers: Sequence[int]) -> str:
    """Call out the hidden ones among bolts, or ""."""
    return said.hidden([(one.bolt, one.where) for one in group.hidden if one.bolt in numbers])


def group_name(group: Group) -> str:
    """Say which group comes, with its size."""
    return said.group_name(group.name, group.size)


def limits(what: Limits) -> str:
    """Say the limits of a reading."""
    return answers.limits(what.low, what.high, what.unit)


def step_number(number: int, of: int, *, closing: bool) -> str:
    """Say which step this is."""
    return steps.step_number(StepAt(number, closing), of)


def hazard(one: Hazard) -> str:
    """Read a hazard, then ask for the word."""
    return steps.hazard(one.word, one.hazard, one.consequence, one.avoid)


def hazard_again(one: Hazard) -> str:
    """Read a hazard that was acknowledged."""
    return steps.hazard_again(one.word, one.hazard, one.consequence, one.avoid)


def count_ask(group: Group, direction: Direction, place: str) -> list[str]:
    """Say what to count, where it goes, and what hides."""
    return answers.count_ask([one.where for one in group.hidden], place if direction is Direction.OUT else "")


def reading_wrong(value: Decimal, what: Limits) -> list[str]:
    """Read back a reading out of limits."""
    low = what.low is not None and value < what.low
    return answers.reading_wrong(value, (what.low if low else what.high) or Decimal(0), what.unit, below=low)


def answer_wrong(answer: str, expected: str) -> list[str]:  # noqa: ARG001 - there are two answers
    """Read back an answer that is not the right one."""
    return answers.answer_wrong(yes=answer == "yes")


def accept_answer(answer: str) -> str:
    """Say what accepting an answer means."""
    return answers.accept_answer(yes=answer == "yes")


def reason_then(summary: str, reason: str, told: Sequence[str] = (), *, most: int = 40) -> list[str]:
    """Read back the reason (``most`` words of it), what it is about and what it is for, and ask for the word."""
    return [f"You said: {words.cut(reason, most)}.", *told, f"{summary}?", sentences.SAY_CONFIRMED]


def skip_step(number: int, *, closing: bool) -> str:
    """Say what leaving out a step means."""
    return steps.skip_step(StepAt(number, closing))


def can_say(intents: Sequence[str], *, single: bool = False) -> str:
    """Say what can be said."""
    return talk.can_say(intents, single=single)
