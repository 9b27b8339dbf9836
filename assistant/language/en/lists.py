"""Sentences about what is missing or open, and for whoever takes a job over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.language.en.numbers import number_words
from assistant.language.en.replies import bare, listed, plural, sentence, short
from assistant.language.en.units import MOST_THINGS, bolts_words, duration_words
from assistant.procedure.model import Group, Interval
from assistant.session.state import Thing


def at_most_four(things: Sequence[str]) -> str:
    """Join things; of more than four, say the first ones and how many more there are."""
    if len(things) <= MOST_THINGS:
        return listed(things)
    more = len(things) - MOST_THINGS + 1
    return listed([*things[: MOST_THINGS - 1], f"{number_words(more)} more"])


def thing(name: str) -> str:
    """Ask for one thing of a card."""
    return sentence(name)


def missing(things: Mapping[Thing, str], *, still: bool = False) -> list[str]:
    """Say what is missing, and which conditions are not so yet; [] when there is nothing."""
    conditions = [bare(name[:1].lower() + name[1:]) for (card, _), name in things.items() if _is_condition(card)]
    others = [bare(name) for (card, _), name in things.items() if not _is_condition(card)]
    lines = [f"{'Still missing' if still else 'Missing'}: {at_most_four(others)}."] if others else []
    return [*lines, f"Not so yet: {at_most_four(conditions)}."] if conditions else lines


def _is_condition(card: str) -> bool:
    return card.startswith("conditions:")


def found_ask(name: str) -> str:
    """Ask whether a thing is here now."""
    return f"{thing(name)} If it is here, say confirmed. If not, say no."


def found(name: str) -> str:
    """Say that a thing is no longer missing."""
    return f"Found: {bare(name)}."


# How long it takes, and when it is due again


def book_time(seconds: int | None) -> str:
    """Say the book time [s], or ""."""
    return "" if seconds is None else f"By the book it takes {duration_words(seconds)}."


def due_again(due: Interval | None) -> list[str]:
    """Say when the work is due again, one number in a sentence; [] when the procedure does not say."""
    if due is None:
        return []
    names = {"km": ("kilometre", "kilometres"), "mi": ("mile", "miles")}
    ways = []
    if due.distance is not None:
        ways.append(plural(due.distance, *names[due.unit]))
    if due.hours is not None:
        ways.append(f"{plural(due.hours, 'hour', 'hours')} of running")
    if due.months is not None:
        years, months = divmod(due.months, 12)
        ways.append(plural(years, "year", "years") if not months else plural(due.months, "month", "months"))
    lines = [f"It is due again after {ways[0]}."] if ways else []
    lines += [f"Or after {way}." for way in ways[1:]]
    return [*lines, "Whichever comes first."] if len(ways) > 1 else lines


# Handing over


def who(names: Sequence[str]) -> list[str]:
    """Ask who takes over, of those who are known to work on the job: all of ``names`` but the one who leaves."""
    if not names:
        return ["Who takes over, say take over.", "A name can be typed."]
    if len(names) == 1:
        return [f"{sentence(bare(names[0]))} If you take over, say take over."]
    told = [f"Operator {number_words(number)}: {bare(name)}." for number, name in enumerate(names[:MOST_THINGS], 1)]
    return ["Who takes over?", *told, "Say operator and the number."]


def welcome(taken_by: str, left_by: str) -> str:
    """Greet who takes over."""
    name = bare(taken_by) if taken_by else ""
    before = f" from {bare(left_by)}" if left_by else ""
    return f"{sentence(name)} You take over{before}." if name else f"You take over{before}."


def steps_done(number: int) -> str:
    """Say how many steps are done."""
    return sentence(plural(number, "step is done", "steps are done")) if number else "No step is done yet."


def left_out(steps: Sequence[str]) -> str:
    """Say which steps were left out, or ""."""
    return f"Left out: {at_most_four(steps)}." if steps else ""


def stripped(groups: Sequence[tuple[str, int]]) -> str:
    """Say which fasteners are out and not back in, or ""."""
    names = [f"{bare(name)}, {number_words(count)}" for name, count in groups[:MOST_THINGS]]
    lines = [f"Out, and not back in: {name}." for name in names]
    if len(groups) > MOST_THINGS:
        lines.append(sentence(f"{plural(len(groups) - MOST_THINGS, 'more group is', 'more groups are')} out"))
    return " ".join(lines)


def off(parts: Sequence[str]) -> str:
    """Say which parts are off and not back on, or ""."""
    return f"Off, and not back on: {at_most_four([bare(part) for part in parts])}." if parts else ""


def lock_in(names: Sequence[str], *, turning: bool) -> str:
    """Say which locks are still in before a step that turns, or tightens, what they hold; or ""."""
    first = "you turn anything" if turning else "you tighten anything"
    return f"Still in: {at_most_four(names)}. Take that out before {first}." if names else ""


def lock_missing(names: Sequence[str]) -> str:
    """Say which locks are not in although the step counts on them, or ""."""
    return f"Not in: {at_most_four(names)}. This step counts on that." if names else ""


TOLD_WORDS = 40
"""So much of a note is told to whoever takes over: about a quarter of a minute. The record has all of it."""


def told(kind: str, place: str, text: str) -> str:
    """Say a note, a problem or an accepted deviation, with its place; of a long one the beginning."""
    word = {"note": "Note", "problem": "Problem", "deviation": "Accepted"}[kind]
    return f"{word}{f' in {place}' if place else ''}: {short(text, TOLD_WORDS)}."


def told_before(number: int) -> str:
    """Say that there are older notes and deviations than those that were told, or ""."""
    return sentence(plural(number, "older one is in the job", "older ones are in the job")) if number else ""


# What is open at the end


def open_items(things: Sequence[str]) -> list[str]:
    """Say what is still open, at most four things, each in its own sentence."""
    return ["Still open.", *(sentence(thing) for thing in things)]


_PROBLEM_WORDS = 12
"""Words of a problem that are said where it is one thing of several; the whole of it is in the record."""


def open_problem(step: str, words: str) -> str:
    """Name a problem that was taken down in ``step`` ("" for none)."""
    return f"problem{f' in {step}' if step else ''}: {short(words, _PROBLEM_WORDS)}"


def open_count(group: Group) -> str:
    """Name a group whose counts do not agree."""
    return f"the count of the {bare(group.name)} does not agree"


def open_value(step: str) -> str:
    """Name a step whose value is out of limits."""
    return f"the value of {step} is out of limits"


def open_bolts(numbers: Sequence[int], step: str) -> str:
    """Name bolts of ``step`` whose readings are out of limits; more than one only by how many."""
    if len(numbers) == 1:
        return f"{bolts_words(numbers)} of {step} is out of limits"
    return f"{plural(len(numbers), 'bolt', 'bolts')} of {step} are out of limits"


def open_answer(step: str, answer: str) -> str:
    """Name a step that was answered otherwise than it should be."""
    return f"{step} was answered with {answer}"


def open_parts(step: str) -> str:
    """Name a step that got another number of new parts."""
    return f"the number of new parts in {step} is not as it should be"
