"""The rules about branches and offers: they come back, say what they are, leave nothing in. Run from ``table.py``."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Branch, Onward, When, with_branches
from assistant.procedure.only_if import only_if, turnings


def _sound(draft: Draft) -> Iterator[Branch]:
    """Yield every branch that was read soundly."""
    for turning in turnings(draft.procedure):
        if draft.places.sound(turning.branch, *turning.branch.steps):
            yield turning.branch


@rule
def branch_returns(draft: Draft) -> Iterator[Complaint]:
    """Let a branch change what its check asks before the check is asked again."""
    for branch in _sound(draft):
        if branch.then is Onward.AGAIN and all(step.traits.asks or step.waits_for for step in branch.steps):
            text = "This branch asks its check again and does nothing that could change the answer, so it never returns"
            hint = "write a step that puts it right, or then: stop"
            yield Complaint(draft.places.of(branch, "then"), text, hint)


@rule
def extra_work_is_told(draft: Draft) -> Iterator[Complaint]:
    """Give extra work a title, a why and its minutes: somebody must grant it who does not see it."""
    for branch in _sound(draft):
        if branch.extra and branch.when is not When.OFFER:
            have = (("title", branch.title), ("why", branch.why), ("minutes", branch.minutes))
            lacks = [key for key, value in have if not value]
            if lacks:
                text = f"This branch is extra work and has no {' and no '.join(lacks)}"
                yield Complaint(draft.places.of(branch), text, "write what is granted, why, and how long it takes")


@rule
def branch_leaves_no_lock(draft: Draft) -> Iterator[Complaint]:
    """Take out in a branch the locks that it puts in, and put back in what it takes out."""
    for branch in _sound(draft):
        moved = [
            (name, goes_in)
            for step in with_branches(branch.steps)
            for name, goes_in in ((step.unlock, False), (step.lock, True))
            if name
        ]
        first, put = dict(reversed(moved)), dict(moved)
        for name, goes_in in put.items():
            if goes_in is first[name]:
                what, hint = ("goes in", f"write unlock: {name}") if goes_in else ("comes out", f"write lock: {name}")
                text = f'The lock "{name}" {what} in this branch and is left so when the branch ends'
                yield Complaint(draft.places.of(branch), text, f"{hint} in a later step of the branch")


@rule
def needed_only_if(draft: Draft) -> Iterator[Complaint]:
    """Name what a step before a branch uses in that step too: what only a branch names is not asked for earlier."""
    if not draft.whole:
        return
    it = draft.procedure
    names = {item.id: item for item in (*it.support_equipment, *it.supplies, *it.spares)}
    later = [names[name] for name in only_if(draft.procedure) if name in names]
    for step in (*draft.procedure.steps, *draft.procedure.closing):
        for item in later if not step.traits.asks else ():
            if draft.written.parts.is_named(item.name, f"{step.text} {step.info}"):
                text = f'"{item.id}" is named here and listed only for a branch, so nobody is asked for it before'
                yield Complaint(draft.step_place(step), text, "list it in this step too", Level.WARNING)
