"""Branches: opened by an answer or a grant, and left behind their last place."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.extra import AskPastStop, BranchLeft, BranchTaken, StopPassed
from assistant.facts.going import RefusedWhy
from assistant.procedure.model import Branch, Step, When
from assistant.session import branching
from assistant.session.deciding import asking, moving
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on, step_done
from assistant.session.here import Here
from assistant.session.places import branch_key
from assistant.session.state import ExtraIs

MOST_ROUNDS = 3
"""So often a branch opens: when the check still has the same answer, something else is wrong, and it needs a reason."""


def led_to(here: Here, step: Step, *whens: When) -> Branch | None:
    """Return the branch to which one of ``whens`` leads from ``step``; None where it leads nowhere, or too often."""
    for branch in step.branches:
        key = branch_key(step.id, branch)
        again = here.state.branches.get(key, 0) >= MOST_ROUNDS and branching.is_finished(here.job, here.state, key)
        if branch.when in whens and not again:
            return branch
    return None


def go_into(d: Deciding, step: Step, branch: Branch) -> None:
    """Go on into ``branch`` behind the answer of ``step``; extra work is asked about first."""
    key = branch_key(step.id, branch)
    extra = d.state.extra.get(key)
    if branch.extra and (extra is None or extra.stands is not ExtraIs.GRANTED):
        step_done(d, step)
        moving.arrive(d, d.job.index[f"{key}:ask"])
        return
    open_branch(d, key)
    done_and_on(d, step)


def open_branch(d: Deciding, key: str) -> None:
    """Open a branch, or open it anew when all of it was done before."""
    times = d.state.branches.get(key, 0)
    if not times or branching.is_finished(d.job, d.state, key):
        d.put(BranchTaken(branch=key, steps=branching.steps_in(d.job, key), round=times + 1))


def leave_others(d: Deciding, step: Step, taken: Branch | None = None) -> None:
    """Shut the branches to which another answer of ``step`` led, unless something of them was done."""
    for branch in step.branches:
        key = branch_key(step.id, branch)
        if branch is taken or branch.when is When.OFFER:
            continue
        known = key in d.state.branches or (key in d.state.extra and d.state.extra[key].stands is ExtraIs.ASKED)
        if known and not branching.is_begun(d.job, d.state, key):
            d.put(BranchLeft(branch=key))


# Behind the last place


def past_stop(d: Deciding, _: Command) -> None:
    """Ask why the job shall go on behind a branch that stops it."""
    if d.place.key in d.state.past_stops:
        d.refuse(RefusedWhy.DONE_BEFORE)
    else:
        asking.demand_reason(d, AskPastStop(place=d.place.key))


def next_at_stop(d: Deciding, _: Command) -> None:
    """Take "next" where the job stops: go on only when that was agreed to before."""
    if d.place.key in d.state.past_stops:
        moving.advance(d)
    else:
        d.refuse(RefusedWhy.STOPPED)


def _passed(d: Deciding, question: AskPastStop, reason: str) -> None:
    d.put(StopPassed(place=question.place, reason=reason))
    moving.advance(d)


add_grant(AskPastStop, _passed)
