"""The rules about what a step depends on, by the key needs. Run from ``table.py``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from assistant.procedure.findings import Findings, Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Branch, Step

_Needs = Mapping[str, tuple[str, ...]]


@rule
def needs_are_steps(draft: Draft) -> Iterator[Complaint]:
    """Let needs name steps of this procedure."""
    every = {step.id for step in draft.every_step()}
    for step in draft.sound_steps():
        for place, name in enumerate(step.needs or ()):
            if name not in every:
                hint = Findings("").suggest(name, every)
                yield Complaint(draft.places.of(step, "needs", place), f'There is no step with the id "{name}"', hint)


@rule
def needs_no_loop(draft: Draft) -> Iterator[Complaint]:
    """Let no step need itself, nor a step that needs it in turn."""
    written = _written(draft)
    told: set[str] = set()
    for step in draft.sound_steps():
        loop = _way(written, step.id, step.id) if step.id not in told else []
        if not loop:
            continue
        told.update(loop)
        place = draft.places.of(step, "needs", (step.needs or ()).index(loop[0]))
        if len(loop) == 1:
            yield Complaint(place, f'The step "{step.id}" needs itself', "name the step that comes before it")
        else:
            through = " and ".join(f'"{name}"' for name in loop[:-1])
            text = f'The step "{step.id}" needs itself in a loop, through {through}'
            yield Complaint(place, text, "take one of these needs out")


@rule
def needs_no_branch(draft: Draft) -> Iterator[Complaint]:
    """Let no step need a step of a branch, which may never be done; those of the same branch may need each other."""
    around = _branches(draft)
    for step in draft.sound_steps():
        for place, name in enumerate(step.needs or ()):
            there = around.get(name, ())
            if any(one is not other for one, other in zip(there, around[step.id], strict=False)) or len(there) > len(
                around[step.id]
            ):
                text = f'The step "{name}" stands in a branch, and may never be done'
                yield Complaint(draft.places.of(step, "needs", place), text, "need the step that leads there")


@rule
def needs_come_before(draft: Draft) -> Iterator[Complaint]:
    """Let a step need what comes before it in the file, so that the work can come to it."""
    steps = draft.sound_steps()
    number = {step.id: place for place, step in enumerate(steps)}
    written, whole = _written(draft), whole_needs(draft)
    for step in steps:
        for place, name in enumerate(step.needs or ()):
            if number.get(name, -1) <= number[step.id] or _way(written, name, step.id):
                continue  # an id that is no step, and a loop, are other rules'
            at = draft.places.of(step, "needs", place)
            if _way(whole, name, step.id):
                text = f'The step "{name}" comes only after this one and needs it, so neither can ever be done'
                yield Complaint(at, text, f"move it before this one, or write needs: in {name}")
            else:
                text = f'The step "{name}" comes after this one, so the work comes here too early'
                yield Complaint(at, text, "move it before this one", Level.WARNING)


def _written(draft: Draft) -> _Needs:
    """Return what steps need as it is written, by their ids."""
    return {step.id: step.needs or () for step in draft.sound_steps()}


def whole_needs(draft: Draft) -> _Needs:
    """Return what every step needs: the one before it where nothing is written, behind a branch that which has it."""
    found: dict[str, tuple[str, ...]] = {}

    def add(steps: Iterable[Step], before: str) -> None:
        for step in steps:
            found[step.id] = step.needs if step.needs is not None else (before,) if before else ()
            before = step.id
            for branch in step.branches:
                add(branch.steps, step.id)

    add((*draft.procedure.steps, *draft.procedure.closing) if draft.whole else (), "")
    return found


def _branches(draft: Draft) -> dict[str, tuple[Branch, ...]]:
    """Return the branches in which each step stands, the outermost first."""
    found: dict[str, tuple[Branch, ...]] = {}

    def add(steps: Iterable[Step], around: tuple[Branch, ...]) -> None:
        for step in steps:
            found[step.id] = around
            for branch in step.branches:
                add(branch.steps, (*around, branch))

    add((*draft.procedure.steps, *draft.procedure.closing) if draft.whole else (), ())
    return found


def _way(needs: _Needs, first: str, last: str) -> list[str]:
    """Return the steps on the way from what ``first`` needs to ``last``, with it; [] when it leads elsewhere."""
    came: dict[str, str] = {}
    open_ones = [first]
    while open_ones:
        name = open_ones.pop()
        for one in needs.get(name, ()):
            if one == last:
                way = [one] if name == first else [one, name]
                while way[-1] in came and came[way[-1]] != first:
                    way.append(came[way[-1]])
                return list(reversed(way))
            if one not in came and one != first:
                came[one] = name
                open_ones.append(one)
    return []
