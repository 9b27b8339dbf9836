"""Branches of a step in a file: what is done only when an answer leads there, and work that is offered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Context, Given, Key
from assistant.procedure.format.codecs import OneOf
from assistant.procedure.format.forms import MINUTES, TOLD, YES_NO, refers_each
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.step_list import MOST_STEPS, StepList
from assistant.procedure.format.tree import Node
from assistant.procedure.model import Branch, Onward, Step, When

MOST_BRANCHES = 2
"""A branch may stand in a branch, and no deeper: nobody who only listens keeps more turnings in mind."""

_WHEN = {
    "if no": When.NO, "if yes": When.YES, "if outside": When.OUTSIDE, "if below": When.BELOW, "if above": When.ABOVE,
    "offer": When.OFFER,
}  # fmt: skip


def _when(given: Given) -> When:
    """Return what leads into the branch that is read: the key of its step under which it stands says so."""
    step = given.outer
    names = () if step is None else (name for name, node in step.node.values.items() if node is given.node)
    return _WHEN.get(next(iter(names), ""), When.OFFER)


@dataclass(frozen=True, slots=True)
class BranchSteps(StepList):
    """The steps of a branch; those without an id get that of the step that leads there, and what leads there."""

    repeats: bool = False

    def read(self, node: Node, key: str, context: Context) -> tuple[Step, ...]:
        """Read them without a change of the numbers that the steps around them get."""
        branch = context.around[-1]
        owner = context.made.get("step id", "")
        named = (branch.outer["id"] if branch.outer is not None else "") or owner
        deep = context.made.get("branches", 0) + 1
        if deep > MOST_BRANCHES:
            text = "This branch stands in a branch of a branch"
            context.complain(node, ReadingRule.NESTING, text, "write its steps in a procedure of their own")
            return ()
        context.made["branches"] = deep
        made: list[Step] = []
        for number, one in enumerate(self.nodes(node, key, context), 1):
            count = context.made["branch steps"] = context.made.get("branch steps", 0) + 1
            if count > MOST_STEPS:
                if count == MOST_STEPS + 1:
                    text = f"The branches have more than {MOST_STEPS} steps"
                    context.complain(one, ReadingRule.TOO_MANY_STEPS, text, "split the procedure")
                break
            context.made["step id"] = f"{named}-{_when(branch).value}-{number}"
            step = self.item.read(one, f"an item of {key}", context)
            if step is not None:
                made.append(step)
        context.made["branches"] = deep - 1
        context.made["step id"] = owner
        return tuple(made)


_STEPS = must("steps", BranchSteps(), "What is done, in order.")
_NEEDS = (
    Key("tools", refers_each("support equipment"), "Ids of the support equipment that is needed only then."),
    Key("supplies", refers_each("supply"), "Ids of the supplies that are needed only then."),
    Key("spares", refers_each("spare"), "Ids of the new parts that are needed only then."),
)
_THEN = OneOf("then", {one.value: one for one in Onward}, Onward.GO_ON)


def _branch(given: Given) -> Branch:
    when = _when(given)
    values = {"extra": True, **given.values()} if when is When.OFFER else given.values()
    return Branch(when=when, **values, line=given.line)


def _written(branch: Branch) -> Mapping[str, Any]:
    return {"extra": branch.extra and branch.when is not When.OFFER}


BRANCH = KeyTable(
    "branch",
    (
        Key("title", TOLD, "What the work is called, as it is spoken when it opens."),
        Key("why", TOLD, "Why it is worth doing; spoken where it must be granted."),
        Key("minutes", MINUTES, "How long it takes, in minutes."),
        *_NEEDS,
        Key("extra", YES_NO, "yes when the work must be granted before it opens."),
        _STEPS,
        Key("then", _THEN, "What follows: go on behind the check (when left out), ask the check again, or stop the job "
            "until there is a reason to go on."),
    ),
    _branch,
    _written,
    example="steps: [...]",
)  # fmt: skip
OFFER = KeyTable(
    "offer",
    (
        must("title", TOLD, "What the work is called, as it is spoken: change the coolant hose."),
        must("why", TOLD, "Why it is worth doing now."),
        must("minutes", MINUTES, "How long it takes, in minutes."),
        *_NEEDS,
        _STEPS,
    ),
    _branch,
    example="title: ..., why: ..., minutes: 20, steps: [...]",
)
