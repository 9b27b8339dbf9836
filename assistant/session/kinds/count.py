"""A step that counts fasteners out or in."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from assistant.advice.pace import by_hand_seconds
from assistant.facts.asking import DeviationWhat
from assistant.facts.codes import Direction
from assistant.facts.kinds.count import Counted
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.count import CountStep
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.retightening import came_loose
from assistant.session.fitted import fitted
from assistant.session.here import Here
from assistant.session.kinds import counting
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls, step_called
from assistant.session.telling.troubles import known_words


def expected_count(here: Here, step: CountStep) -> int:
    """Return how many fasteners this step must count: those of the group that other steps did not account for.

    Those that go in are as many as came out; when none were counted out, or one of them broke or was lost since or
    before, all of the group.
    """
    out = counted_in(here, step.group, Direction.OUT, but=step.id)
    total = len(here.job.groups[step.group].bolts)
    if step.direction is Direction.OUT:
        return max(0, total - (out or 0))
    total = total if out is None or any(group == step.group for group, _ in here.state.troubled) else out
    return max(0, total - (counted_in(here, step.group, Direction.IN, but=step.id) or 0))


def counted_in(here: Here, group: str, direction: Direction, *, but: str = "") -> int | None:
    """Return how many of a group were counted out or in, by all steps ``but`` one; None where nobody counted."""
    counts = [
        here.state.counts[step.id]
        for step in here.job.steps_of(CountStep)
        if step.group == group and step.direction is direction and step.id != but and step.id in here.state.counts
    ]
    return sum(counts) if counts else None


def _put(d: Deciding, step: CountStep, number: int) -> None:
    d.put(
        Counted(
            step=step.id,
            group=step.group,
            direction=step.direction,
            count=number,
            expected=expected_count(d, step),
            repeated=step.id in d.state.counts,
        )
    )
    if step.direction is Direction.OUT:
        came_loose(d, step.id, step.group, d.job.groups[step.group].bolts)


def _words(t: Telling, step: CountStep) -> Sequence[str]:
    hidden = [one.where for one in t.job.groups[step.group].hidden]
    return t.language.answers.count_ask(hidden, step.place if step.direction is Direction.OUT else "")


@tells(Counted)
def _tell_count(t: Telling, fact: Counted) -> None:
    t.say(t.language.answers.count_match(fact.count))


@calls(Counted)
def _call_count(t: Telling, fact: Counted) -> str:
    return step_called(t, fact.step, t.language.taking_back.was_counted(fact.count), apart=True)


def _open(here: Here, step: CountStep, named: Collection[str]) -> Sequence[OpenThing]:
    """Return that the counts of the group do not agree with each other or with the procedure, or are missing.

    Where one of the steps ``named`` is among the counts of the group, only a way (out or in) that was counted to its
    end is compared, and only with the procedure. The group is told of at its first step.
    """
    steps = [one for one in here.job.steps_of(CountStep) if one.group == step.group]
    if step != steps[0]:
        return ()
    open_ways = {one.direction for one in steps if one.id not in here.state.counts}
    passed_over = any(one.id in named for one in steps)
    ways = {one.direction for one in steps} - (open_ways if passed_over else set())
    group = here.job.groups[step.group]
    odd = {counted_in(here, step.group, way) for way in ways} - {len(group.bolts)}
    if not odd and (passed_over or not open_ways):
        return ()
    called = group.name
    return (OpenThing(OpenKind.COUNT, step.id, (group.id,), name=lambda language: language.lists.open_count(called)),)


def _stripped(here: Here, step: CountStep) -> Sequence[tuple[str, int]]:
    """Return name and number of the fasteners of the group that are out and not back in, at its first step.

    New ones that were fitted in their place are in.
    """
    first = next(one for one in here.job.steps_of(CountStep) if one.group == step.group)
    if step != first:
        return ()
    group = here.job.groups[step.group]
    out, back = (counted_in(here, step.group, way) or 0 for way in (Direction.OUT, Direction.IN))
    left = out - back - fitted(here, group.spare)
    return ((group.name, left),) if left > 0 else ()


_ROW = counting.counting_row("counting", "fasteners to count, out or in", Sentence.ANSWER_COUNT)

KINDS.add(
    CountStep,
    counting.COUNTING,
    counting.CountingKind(expected_count, DeviationWhat.COUNT, _put, known=lambda t, step: known_words(t, step.group)),
)
add_kind(
    CountStep,
    StepPart(
        rows=(_ROW,),
        numbers=counting.countable,
        may_be={"count": counting.may_be_counted},
        standing=lambda _here, _step: _ROW.name,
        words=_words,
        answer=lambda t, _: t.text(Sentence.ANSWER_COUNT),
        answer_again=lambda t, _: t.text(Sentence.ANSWER_COUNT),
        answers={"how_many": counting.how_many_asked},
        open=_open,
        groups=lambda _here, step: (step.group,),
        stripped=_stripped,
        about=lambda here, step: by_hand_seconds(expected_count(here, step), step.direction),
        ask=lambda here, step: {
            "kind": "count", "expected": expected_count(here, step), "direction": step.direction.value,
        },
    ),
)  # fmt: skip
