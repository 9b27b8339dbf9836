"""What went wrong in the job and was not put right: problems, answers, values, fasteners. None of it goes by itself.

A reason that was given when something was accepted explains it, and does not make it right: whoever closes the job
hears of it once more.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from assistant.language.values import StepAt
from assistant.procedure.model import Step
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.session import replies_lists
from assistant.session.engine import Engine


def problems(e: Engine) -> list[tuple[str, str]]:
    """Return the problems that were taken down, in order: id of the step ("" for none) and words."""
    return [(step, words) for kind, step, words in e.state.told if kind == "problem"]


def answers(e: Engine) -> list[str]:
    """Return the ids of the steps that were answered otherwise than they should be, or got another number of parts."""
    return [step.id for step in _accepted(e) if isinstance(step, FitStep) or _asks(step)]


def values(e: Engine) -> list[str]:
    """Return the ids of the checks whose value is out of limits."""
    return [step.id for step in _accepted(e) if isinstance(step, CheckStep) and not _asks(step)]


def bolts(e: Engine) -> list[tuple[str, int, int]]:
    """Return the bolts whose reading is out of limits, accepted or not decided yet: step, pass and number."""
    off = sorted(e.state.off_accepted | set(e.state.off))
    return [(step, e.chunks[step][index].turn, e.chunks[step][index].bolts[at]) for step, index, at in off]


def groups(e: Engine, but: Collection[str] = ()) -> list[str]:
    """Return the ids of the groups whose counts do not agree with each other or with the procedure, or are missing.

    Where one of the steps ``but`` is among the counts of a group, only a way (out or in) that was counted to its end
    is compared, and only with the procedure.
    """
    counts = e.steps_of(CountStep)
    found = []
    for group in dict.fromkeys(step.group for step in counts):
        steps = [step for step in counts if step.group == group]
        open_ways = {step.direction for step in steps if step.id not in e.state.counts}
        passed_over = any(step.id in but for step in steps)
        ways = {step.direction for step in steps} - (open_ways if passed_over else set())
        odd = {e.counted(group, way) for way in ways} - {len(e.groups[group].bolts)}
        if odd or (open_ways and not passed_over):
            found.append(group)
    return found


def _accepted(e: Engine) -> list[Step]:
    return [step for step in e.steps_of(Step) if step.id in e.state.deviations]


def _asks(step: Step) -> bool:
    """Return whether ``step`` asks a question that is answered with yes or no."""
    return isinstance(step, CheckStep) and step.limits is None


def names(e: Engine, called: Mapping[str, StepAt], named: Collection[str]) -> list[str]:
    """Return each trouble in words, the gravest first.

    ``called`` is how a step is called. That a count is missing is not told where its step is ``named`` as open.
    """
    found = [replies_lists.open_problem(called.get(step), words) for step, words in problems(e)]
    found += [replies_lists.open_count(e.groups[group]) for group in groups(e, named)]
    found += [replies_lists.open_value(called[step]) for step in values(e)]
    odd = bolts(e)
    for step, name in called.items() if odd else ():
        off = dict.fromkeys(bolt for one, _, bolt in odd if one == step)
        found += [replies_lists.open_bolts(list(off), name)] if off else []
    parts = {step.id for step in e.steps_of(FitStep)}
    for step in answers(e):
        found.append(
            replies_lists.open_parts(called[step])
            if step in parts
            else replies_lists.open_answer(called[step], e.state.answers[step])
        )
    return found


def kinds(e: Engine, named: Collection[str]) -> list[tuple[str, int]]:
    """Return how much trouble of each kind there is, the gravest first: code and number.

    ``named`` is as for :func:`names`.
    """
    return [
        ("problem", len(problems(e))),
        ("count", len(groups(e, named))),
        ("value", len(values(e)) + len(bolts(e))),
        ("answer", len(answers(e))),
    ]
