"""The rules about wording: what is spoken must be short, one thing at a time, and heard in one way only.

The limits of words are those of ASD-STE100 (as summarised publicly): 20 in a procedural sentence, 25 in a descriptive
one. Words are counted as the language of the procedure counts them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from assistant.faults import quoted
from assistant.files import whole_number
from assistant.language.chosen import LANGUAGE
from assistant.procedure.findings import Level, Place
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.model import Group, Item, Step, Timer
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep

MOST_PROCEDURAL = 20
MOST_DESCRIPTIVE = 25
_MOST_WRITTEN_OUT = 99
"""Numbers up to this are written out in the hint of a complaint."""


class _Spoken(NamedTuple):
    """A text that is spoken, where it stands, and whether it is a command."""

    place: Place
    text: str
    command: bool


def _spoken(draft: Draft) -> list[_Spoken]:
    """Return every spoken text of the file: commands (what to do, how to avoid) and descriptions."""
    return draft.once(_all_spoken)


def _all_spoken(draft: Draft) -> list[_Spoken]:
    return [spoken for spoken in _each_spoken(draft) if spoken.text]


def _each_spoken(draft: Draft) -> Iterator[_Spoken]:
    at, it = draft.places.of, draft.procedure
    yield from _spoken_names(draft)
    for place, condition in enumerate(it.conditions):
        yield _Spoken(at(it, "preliminary", "conditions", place), condition, command=False)
    owners = [it.safety, *(step.hazards for step in draft.every_step())]
    for hazard in (hazard for hazards in owners for hazard in hazards):
        yield _Spoken(at(hazard, hazard.word.value), hazard.hazard, command=False)
        yield _Spoken(at(hazard, "consequence"), hazard.consequence, command=False)
        yield _Spoken(at(hazard, "avoid"), hazard.avoid, command=True)
    for step in draft.every_step():
        yield _Spoken(draft.step_place(step), step.text, command=True)
        yield _Spoken(at(step, "info"), step.info, command=False)
        for stage in step.stages if isinstance(step, TightenStep) else ():
            yield _Spoken(at(stage, "note"), stage.note, command=False)


def _spoken_names(draft: Draft) -> Iterator[_Spoken]:
    """Yield what things are called, and where they are."""
    at, it = draft.places.of, draft.procedure
    yield _Spoken(at(it, "procedure", "title"), it.title, command=False)
    named: tuple[Item | Group | Timer, ...] = (*it.support_equipment, *it.supplies, *it.spares, *it.groups, *it.timers)
    for thing in (thing for thing in named if draft.places.sound(thing)):
        yield _Spoken(at(thing, "name"), thing.name, command=False)
    for group in it.groups:
        yield _Spoken(at(group, "size"), group.size, command=False)
        yield _Spoken(at(group, "where"), group.where, command=False)
        for place, hidden in enumerate(group.hidden):
            yield _Spoken(at(group, "hidden", place, "where"), hidden.where, command=False)
    for place, chapter in enumerate(it.chapters):
        yield _Spoken(at(it, "chapters", place, "chapter"), chapter.name, command=False)
    for count in draft.steps_of(CountStep):
        yield _Spoken(at(count, "place"), count.place, command=False)


def sentence_length(draft: Draft) -> Iterator[Complaint]:
    """Keep a command to 20 words and a description to 25, as ASD-STE100 does."""
    wording = draft.written.wording
    for place, text, command in _spoken(draft):
        most = MOST_PROCEDURAL if command else MOST_DESCRIPTIVE
        longest = max(map(wording.word_count, wording.written_sentences(text)), default=0)
        if longest > most:
            what = "command" if command else "description"
            yield Complaint(
                place,
                f"A sentence here has {longest} words, and a {what} has at most {most}",
                "split it",
                Level.WARNING,
            )


def one_instruction(draft: Draft) -> Iterator[Complaint]:
    """Give one instruction in a step; a second one about the same thing may follow ("and count them")."""
    for step in draft.every_step():
        second = draft.written.wording.second_instruction(step.text)
        if second and not isinstance(step, CheckStep):
            text, hint = f'This step gives a second instruction ("{second}")', "make a step of it"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


_DIGIT = re.compile(r"\d")


def spoken_values(draft: Draft) -> Iterator[Complaint]:
    """Leave values to the keys that read them back digit by digit; write other numbers in words."""
    for place, text, command in _spoken(draft):
        if _DIGIT.search(text):
            number = re.findall(r"\d[\w.,/°]*", text)[0]
            count = whole_number(number)
            hint = (
                f' ("{LANGUAGE.numbers.number_words(count)}")'
                if count is not None and count <= _MOST_WRITTEN_OUT
                else ""
            )
            yield Complaint(
                place,
                f"{quoted(number)} is spoken as it is written and may be misheard",
                f"write it in words{hint}, or leave it to torque, angle or limits",
                Level.WARNING,
            )
        value = draft.written.wording.value_in(text) if command else ""
        if value:
            yield Complaint(
                place,
                f'The value "{value}" cannot be read back from a text',
                "put it under torque, angle or limits",
                Level.WARNING,
            )


def clear_questions(draft: Draft) -> Iterator[Complaint]:
    """Ask so that yes and no have one meaning each: a question, and without a not in it."""
    for step in draft.every_step():
        if not isinstance(step, CheckStep) or step.limits is not None or not draft.places.sound(step):
            continue
        if not step.text.endswith("?"):
            text = "This check is answered with yes or no and is no question"
            hint = "ask it, such as Is the tap shut?"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)
        elif found := draft.written.wording.negative(step.text):
            text = f'A question with "{found}" in it is answered with yes by one and with no by another'
            hint = "ask without"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


def vague_words(draft: Draft) -> Iterator[Complaint]:
    """Say what is meant: not as required, sufficiently, properly or approximately."""
    for place, text, _ in _spoken(draft):
        found = draft.written.wording.vague(text)
        if found:
            yield Complaint(
                place, f'"{found}" leaves it to the listener', "say how much, how far or in which case", Level.WARNING
            )


def nothing_undecided(draft: Draft) -> Iterator[Complaint]:
    """Leave nothing open: no text says TODO, TBD, DECIDE or ??, and no comment begins with TODO."""
    for node in draft.places.texts(draft.procedure, but=("source", "revision")):
        found = draft.written.wording.undecided(node.text)
        if found:
            yield Complaint(node, f'"{found}" says that something is still open', "decide it and write it")


def stages_as_said(draft: Draft) -> Iterator[Complaint]:
    """Have as many stages as the command says."""
    for step in draft.steps_of(TightenStep):
        said, have = draft.written.wording.stages_said(step.text), len(step.stages)
        again = any(stage.repeat_from for stage in step.stages)  # how many stages those are can be counted in two ways
        if said is not None and said != have and not again and draft.places.sound(*step.stages):
            text = f"The command says {_words(said)} stages and {_words(have)} {'is' if have == 1 else 'are'} here"
            yield Complaint(draft.step_place(step), text, "correct the command or the stages")


def _words(number: int) -> str:
    return LANGUAGE.numbers.number_words(number)


def times_have_timers(draft: Draft) -> Iterator[Complaint]:
    """Give a time to a timer, which counts it and says when it is over; do not only speak it."""
    for step in draft.every_step():
        found = "" if _has_timer(step) else draft.written.wording.time_said(step.text)
        if found:
            text, hint = f'Nobody counts "{found}"', "add a timer, and a step with wait:, or starts: and before:"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


def _has_timer(step: Step) -> bool:
    return isinstance(step, WaitStep) or bool(step.starts_timer or step.before_timer)
