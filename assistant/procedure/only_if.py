"""What is needed only if a branch is taken: it is told when that opens, and not before the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from assistant.procedure.model import Branch, Procedure, Step


class Turning(NamedTuple):
    """A branch, and the step behind which it stands."""

    step: Step
    branch: Branch


def turnings(procedure: Procedure) -> Iterator[Turning]:
    """Yield every branch of ``procedure`` in order, those inside others too."""
    for step in procedure.every_step:
        for branch in step.branches:
            yield Turning(step, branch)


def only_if(procedure: Procedure) -> Mapping[str, Turning]:
    """Return the ids of tools, supplies and spares that nothing but branches needs, each with the first that does."""
    always = {name for step in (*procedure.steps, *procedure.closing) for name in step.things}
    always |= {group.spare for group in procedure.groups if group.spare}
    found: dict[str, Turning] = {}
    for turning in turnings(procedure):
        for name in things_of(turning.branch):
            if name not in always:
                found.setdefault(name, turning)
    return found


def things_of(branch: Branch) -> tuple[str, ...]:
    """Return the ids of what a branch needs, for itself and in its steps, each once."""
    own = (*branch.tools, *branch.supplies, *branch.spares)
    inside = (name for step in branch.steps for name in step.things)
    return tuple(dict.fromkeys((*own, *inside)))
