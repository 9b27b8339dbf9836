"""The rules about wording: what is spoken must be short, one thing at a time, and heard in one way only.

The limits of words are those of ASD-STE100 (as summarised publicly): 20 in a procedural sentence, 25 in a descriptive
one. Words are counted by :func:`~assistant.language.en.wording.word_count`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from assistant.faults import quoted
from assistant.files import whole_number
from assistant.language.en.numbers import number_words
from assistant.language.en.wording import NUMBER, sentences, word_count, word_set
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
    for place, text, command in _spoken(draft):
        most = MOST_PROCEDURAL if command else MOST_DESCRIPTIVE
        longest = max((word_count(sentence) for sentence in sentences(text)), default=0)
        if longest > most:
            what = "command" if command else "description"
            yield Complaint(
                place, f"A sentence here has {longest} words, and a {what} has at most {most}: split it", Level.WARNING
            )


# Imperatives with which the commands of the trade begin; a word that is a noun as well stands here only when it is
# hardly ever one behind "and".
_VERBS = word_set(
    "add adjust apply attach bleed bolt check clean clip close connect cut detach disconnect drain draw drive "
    "extract fill fit hang insert inspect install lay lift loosen lower lubricate measure mount move open place "
    "press pull push put refit reinstall remove replace scrape screw set slacken slide slip start stop switch "
    "take tighten torque turn undo unplug unscrew wash wipe"
)
# These go on with what was begun: hold while doing, let and feel while it happens, count what was just handled.
_WITH = word_set("hold keep let feel listen look watch count stop make see note mark report")
_OWN = re.compile(r"\b(?:it|them|its|their|both|again)\b")
_CLAUSE = re.compile(r"(?:,\s*(?:and\s+)?(?:then\s+)?|\band\s+(?:then\s+)?|\bthen\s+|;\s*)")


def one_instruction(draft: Draft) -> Iterator[Complaint]:
    """Give one instruction in a step; a second one about the same thing may follow ("and count them")."""
    for step in draft.every_step():
        parts = sentences(step.text)
        commands = [part for part in parts if _verb(part) in _VERBS | _WITH]
        second = next((clause for part in commands[:1] for clause in _second(part)), "")
        if len(commands) > 1:
            second = commands[1]
        if second and not isinstance(step, CheckStep):
            text = f'This step gives a second instruction ("{second.strip(" .")}"): make a step of it'
            yield Complaint(draft.step_place(step), text, Level.WARNING)


def _verb(text: str) -> str:
    return text.lower().partition(" ")[0].strip(".,")


def _second(sentence: str) -> Iterator[str]:
    """Yield the clauses behind the first that begin anew: an imperative, about another thing."""
    if _verb(sentence) in _WITH:
        return
    for clause in _CLAUSE.split(sentence)[1:]:
        if _verb(clause) in _VERBS and not _OWN.search(clause.lower()) and " " in clause.strip():
            yield clause


_DIGIT = re.compile(r"\d")
_VALUE = re.compile(
    rf"\b{NUMBER}\s+(?:newton|pound|foot|kilogram|degrees?|millimetres?|centimetres?|bar|volts?|litres?|millilitres?)\b"
)


def spoken_values(draft: Draft) -> Iterator[Complaint]:
    """Leave values to the keys that read them back digit by digit; write other numbers in words."""
    for place, text, command in _spoken(draft):
        if _DIGIT.search(text):
            number = re.findall(r"\d[\w.,/°]*", text)[0]
            count = whole_number(number)
            hint = f' ("{number_words(count)}")' if count is not None and count <= _MOST_WRITTEN_OUT else ""
            yield Complaint(
                place,
                f"{quoted(number)} is spoken as it is written and may be misheard: write it in words{hint}, or leave "
                "it to torque, angle or limits",
                Level.WARNING,
            )
        value = _VALUE.search(text.lower()) if command else None
        if value:
            yield Complaint(
                place,
                f'The value "{value[0]}" cannot be read back from a text: put it under torque, angle or limits',
                Level.WARNING,
            )


_NEGATIVE = re.compile(r"\b(?:not|no|never|nothing|none|without|\w+n't)\b")


def clear_questions(draft: Draft) -> Iterator[Complaint]:
    """Ask so that yes and no have one meaning each: a question, and without a not in it."""
    for step in draft.every_step():
        if not isinstance(step, CheckStep) or step.limits is not None or not draft.places.sound(step):
            continue
        if not step.text.endswith("?"):
            text = "This check is answered with yes or no and is no question: ask it, such as Is the tap shut?"
            yield Complaint(draft.step_place(step), text, Level.WARNING)
        elif found := _NEGATIVE.search(step.text.lower()):
            text = f'A question with "{found[0]}" in it is answered with yes by one and with no by another: ask without'
            yield Complaint(draft.step_place(step), text, Level.WARNING)


_VAGUE = re.compile(
    r"\b(?:as required|as necessary|as needed|as appropriate|if necessary|if required|if needed|where necessary|"
    r"sufficient(?:ly)?|adequate(?:ly)?|appropriate(?:ly)?|suitable|suitably|proper(?:ly)?|approximately|roughly|"
    r"more or less|reasonabl[ey]|etc)\b"
)


def vague_words(draft: Draft) -> Iterator[Complaint]:
    """Say what is meant: not as required, sufficiently, properly or approximately."""
    for place, text, _ in _spoken(draft):
        found = _VAGUE.search(text.lower())
        if found:
            yield Complaint(
                place, f'"{found[0]}" leaves it to the listener: say how much, how far or in which case', Level.WARNING
            )


_UNDECIDED = re.compile(
    r"\b(?:todo|tbd|tba|fixme|xxx|decide|undecided)\b\s*[:!?]|\b(?:TODO|TBD|TBA|FIXME|XXX|DECIDE)\b|\?\?+"
)


def nothing_undecided(draft: Draft) -> Iterator[Complaint]:
    """Leave nothing open: no text says TODO, TBD, DECIDE or ??, and no comment begins with TODO."""
    for node in draft.places.texts(draft.procedure, but=("source", "revision")):
        found = _UNDECIDED.search(node.text)
        if found:
            yield Complaint(node, f'"{found[0].strip()}" says that something is still open: decide it and write it')


_STAGES = re.compile(r"\bin (one|two|three|four|five|six|seven|eight|nine|ten) (?:stages?|passes|rounds)\b")


def stages_as_said(draft: Draft) -> Iterator[Complaint]:
    """Have as many stages as the command says."""
    for step in draft.steps_of(TightenStep):
        said = _STAGES.search(step.text.lower())
        have = number_words(len(step.stages))
        again = any(stage.repeat_from for stage in step.stages)  # how many stages those are can be counted in two ways
        if said and said[1] != have and not again and draft.places.sound(*step.stages):
            text = f"The command says {said[1]} stages and {have} {'is' if len(step.stages) == 1 else 'are'} here"
            yield Complaint(draft.step_place(step), f"{text}: correct the command or the stages")


_TIME = re.compile(rf"\b{NUMBER}\s+(?:seconds?|minutes?|hours?|days?)\b")


def times_have_timers(draft: Draft) -> Iterator[Complaint]:
    """Give a time to a timer, which counts it and says when it is over; do not only speak it."""
    for step in draft.every_step():
        found = None if _has_timer(step) else _TIME.search(step.text.lower())
        if found:
            text = f'Nobody counts "{found[0]}": add a timer, and a step with wait:, or starts: and before:'
            yield Complaint(draft.step_place(step), text, Level.WARNING)


def _has_timer(step: Step) -> bool:
    return isinstance(step, WaitStep) or bool(step.starts_timer or step.before_timer)
