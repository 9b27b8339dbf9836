"""What is still open, and the closing of the job."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en import lists
from assistant.language.values import StepAt
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import critical, replies_lists, sentences, trouble
from assistant.session.engine import Engine
from assistant.session.places import Card, Safety, StepPlace
from assistant.session.state import Pending


def open_groups(e: Engine) -> list[str]:
    """Return the ids of groups whose counts do not agree: out and in, or a count that is still missing.

    From rules 3 on a reason that was given explains nothing away, and the procedure is compared too.
    """
    if e.rules >= 3:
        return trouble.groups(e)
    counts = e.steps_of(CountStep)
    found = []
    for group in dict.fromkeys(step.group for step in counts):
        steps = [step for step in counts if step.group == group]
        if any(step.id not in e.state.counts for step in steps):
            found.append(group)
            continue
        total = {way: e.counted(group, way) or 0 for way in Direction}
        ways = {step.direction for step in steps}
        explained = any(step.id in e.state.deviations for step in steps if step.direction is Direction.IN)
        if len(ways) == 2 and total[Direction.OUT] != total[Direction.IN] and not explained:
            found.append(group)
    return found


def open_stages(e: Engine) -> list[tuple[str, int]]:
    """Return step id and stage number of every stage with a bolt that was not tightened."""
    return [
        (step.id, stage)
        for step in e.steps_of(TightenStep)
        for stage in range(1, len(step.stages) + 1)
        if any(
            chunk.stage == stage and (step.id, index, offset) not in e.state.bolts
            for index, chunk in enumerate(e.chunks[step.id])
            for offset in range(len(chunk.bolts))
        )
    ]


def open_parts(e: Engine) -> list[str]:
    """Return the ids of steps whose new parts were not answered for."""
    return [step.id for step in e.steps_of(FitStep) if step.id not in e.state.fitted]


def open_steps(e: Engine) -> list[str]:
    """Return the keys of places that are neither done nor left out with a reason."""
    keys = []
    done, prepared = e.state.done | set(e.state.skipped), e.state.prepared | set(e.state.skipped)
    for place in e.places:
        match place:
            case StepPlace(key=key) if key not in done:
                keys.append(key)
            case Safety(key=key) if (key, 0) not in e.state.acknowledged:
                keys.append(key)
            case Card(key=key) if key not in prepared:
                keys.append(key)
            case _:
                pass
    return keys


def open_words(e: Engine) -> list[str]:
    """Say what is open: by name when it is at most four things, else how much of each kind, the gravest first."""
    names = _names(e)
    if len(names) <= MOST_THINGS:
        return names
    named = {*open_steps(e), *e.state.skipped}
    counts = [("count", len(open_groups(e)))] if e.rules < 3 else trouble.kinds(e, named)
    pages = _pages(e)
    steps = [("step", len(open_steps(e)) - (len(pages[0]) if e.rules >= 3 else 0))]
    kinds = [
        *(counts + steps if e.rules >= 3 else steps + counts),
        ("stage", len(open_stages(e))),
        ("part", len(open_parts(e))),
        ("left_out", len(e.state.skipped) - (len(pages[1]) if e.rules >= 3 else 0)),
        ("preparation", sum(map(len, pages))),
    ]
    return _by_kind(kinds) if e.rules >= 3 else _kinds_of_before(kinds[:-1])


def _pages(e: Engine) -> tuple[list[str], list[str]]:
    """Return the keys of the parts of the preparation that are open, and of those that were left out."""
    called = step_names(e)
    return [key for key in open_steps(e) if key not in called], [key for key in e.state.skipped if key not in called]


def _kinds_of_before(kinds: Sequence[tuple[str, int]]) -> list[str]:
    return replies_lists.of_kinds([(kind, number) for kind, number in kinds if number])[:MOST_THINGS]


def _by_kind(kinds: Sequence[tuple[str, int]]) -> list[str]:
    """Say how much there is of each kind; at most four sentences."""
    told = [(kind, number) for kind, number in kinds if number]
    if len(told) > MOST_THINGS:
        others = sum(number for _, number in told[MOST_THINGS - 1 :])
        told = [*told[: MOST_THINGS - 1], ("other", others)]
    return replies_lists.of_kinds(told)


def trouble_words(e: Engine) -> list[str]:
    """Say what went wrong or was left out, and was not put right: by name when it is at most four things, else by kind.

    Steps that are still to come are no trouble.
    """
    open_keys = {*open_steps(e), *e.state.skipped}
    called = step_names(e)
    names = [*trouble.names(e, called, open_keys), *_left_out(e, called), *_slack(e, called, open_keys)]
    if len(names) <= MOST_THINGS:
        return names
    slack = sum(step not in open_keys for step, _ in open_stages(e))
    return _by_kind([*trouble.kinds(e, open_keys), ("stage", slack), ("left_out", len(_left_out(e, called)))])


def _left_out(e: Engine, called: Mapping[str, StepAt]) -> list[str]:
    return [lists.open_left_out(called[key]) for key in e.state.skipped if key in called]


def _slack(e: Engine, called: Mapping[str, StepAt], named: Collection[str]) -> list[str]:
    """Name every stage that is not tight all over, but for those of steps that are ``named`` themselves."""
    return [lists.open_stage(stage, called[step]) for step, stage in open_stages(e) if step not in named]


def _names(e: Engine) -> list[str]:
    """Name every open thing; what belongs to a step that is named itself is not named again."""
    state = e.state
    called = step_names(e)
    pages = sum(map(len, _pages(e)))
    names = [lists.open_preparation(pages)] if pages else []
    names += [lists.open_step(called[key]) for key in open_steps(e) if key in called]
    names += _left_out(e, called)
    named = {*open_steps(e), *state.skipped}
    if e.rules >= 3:
        names = [*trouble.names(e, called, named), *names]
    names += _slack(e, called, named)
    for group in open_groups(e) if e.rules < 3 else ():
        if not any(step.group == group and step.id in named for step in e.steps_of(CountStep)):
            names.append(replies_lists.open_count(e.groups[group]))
    return names


def step_names(e: Engine) -> dict[str, StepAt]:
    """Return how each step is called inside a sentence, by its key."""
    if not e.called:
        e.called |= {
            place.key: StepAt(place.number, place.closing) for place in e.places if isinstance(place, StepPlace)
        }
    return e.called


def finish(e: Engine) -> None:
    """Ask to close the job; what is open needs a reason first."""
    things = open_words(e)
    if things:
        told = replies_lists.open_items(things)
        again = {"told": told} if e.rules >= 3 else {}
        critical.demand_reason(e, "finish", sentences.FINISH_OPEN, told, **again)
        return
    critical.ask(e, Pending("finish", sentences.FINISH_NOW, sentences.FINISH_NOW, {}, final=True))


def close(e: Engine, pending: Pending) -> None:
    """Close the job."""
    more: dict[str, Any] = {"open": open_words(e)}
    if e.rules >= 3:
        more = {
            "open_problems": [step or None for step, _ in trouble.problems(e)],
            "open_answers": trouble.answers(e),
            "open_values": trouble.values(e),
            "open_bolts": [list(bolt) for bolt in trouble.bolts(e)],
            "left_out": [key for key in e.state.skipped if key not in open_steps(e)],
        }
    e.record(
        "closed",
        **more,
        open_steps=open_steps(e),
        open_counts=open_groups(e),
        open_stages=[list(stage) for stage in open_stages(e)],
        open_parts=open_parts(e),
        reason=pending.reason,
    )
    e.table.fire("close")
    e.state.closed = True
    e.say(sentences.CLOSED, sentences.AFTERWARDS)
