"""Bolts that broke, are stripped, lost or wrong, and what was dropped: each is held open until it is in.

Which group a number means is guessed from where the job is, always read back, and "no" asks for the next one.
"""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.going import RefusedWhy
from assistant.facts.kinds.tighten import Reached, Undone
from assistant.facts.kinds.trouble import (
    AskBoltFreed,
    AskBoltHeld,
    AskBoltLeft,
    AskDroppedFound,
    AskDroppedLeft,
    BoltFreed,
    BoltHeld,
    Dropped,
    DroppedFound,
    LeftHeld,
    TroubleLeft,
)
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import bolt_at, bolt_place, chunks_in, only_slackens, pointer, stands_aside
from assistant.session.deciding import asking, judging, measuring, moving, preparing, steps, tightening
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.reaching import front, next_open, reach
from assistant.session.groups import groups_by_nearness
from assistant.session.places import StepPlace
from assistant.session.table import Act
from assistant.session.troubles import findable, is_held

# Held open


def ask_held(what: TroubleWhat) -> Act:
    """Return the act that asks whether a bolt, named by its number, is to be held open for ``what`` happened to it."""

    def ask(d: Deciding, command: Command) -> None:
        _ask_held(d, int(command.number or 0), what)

    return ask


def wrong_bolt(d: Deciding, _: Command) -> None:
    """Ask whether the present bolt is the wrong one; where several are meant, its number must be said."""
    place = bolt_place(d)
    if place is None or len(place[1]) > 1 or d.unread is not None:
        d.refuse(RefusedWhy.WHICH_BOLT)
    else:
        asking.ask(d, AskBoltHeld(place[0].group, place[1][0], TroubleWhat.WRONG))


def _ask_held(d: Deciding, bolt: int, what: TroubleWhat) -> None:
    having = [group for group in groups_by_nearness(d) if bolt in d.job.groups[group].bolts]
    groups = [group for group in having if not _held_as(d, group, bolt, what)]
    if groups:
        asking.ask(d, AskBoltHeld(groups[0], bolt, what, tuple(groups[1:])))
    else:
        d.refuse(RefusedWhy.HELD_BEFORE if having else RefusedWhy.NO_SUCH_BOLT)


def _held_as(d: Deciding, group: str, bolt: int, what: TroubleWhat) -> bool:
    held = d.state.held.get((group, bolt))
    return held is not None and held.what is what and not held.given_up


def _hold(d: Deciding, question: AskBoltHeld, _reason: str) -> None:
    """Hold a bolt open: what it had got does not count any more."""
    group, bolt = question.group, question.bolt
    undone, reopened, _ = measuring.taken_back(d, group, (bolt,), len(d.job.places))
    turned = any(_key(one) in d.state.turned for one in undone)
    d.put(
        BoltHeld(
            group=group,
            bolt=bolt,
            what=question.trouble,
            step=d.step.id if d.step else None,
            undone=tuple(one for one in undone if _counted(d, one)),
            reopened=reopened,
            worn=turned and d.job.groups[group].single_use,
        )
    )
    _go_past(d, group)


def _key(one: Undone) -> tuple[str, int, int, int]:
    return one.step, one.turn, one.run, one.bolt


def _counted(d: Deciding, one: Undone) -> bool:
    state = d.state
    return any(_key(one) in where for where in (state.bolts, state.off, state.bolts_skipped, state.turned))


def _other_group(d: Deciding, question: AskBoltHeld | AskBoltFreed | AskBoltLeft) -> None:
    """Ask about the next group that has such a bolt, when it was not the one that was asked about."""
    if not question.others:
        d.refuse(RefusedWhy.WHICH_GROUP)
        return
    group, *others = question.others
    match question:
        case AskBoltHeld():
            asking.ask(d, AskBoltHeld(group, question.bolt, question.trouble, tuple(others)))
        case AskBoltFreed():
            asking.ask(d, AskBoltFreed(group, question.bolt, question.how, tuple(others)))
        case AskBoltLeft():
            asking.offer(d, AskBoltLeft(group, question.bolt, tuple(others)))


def _tightening_of(d: Deciding, group: str) -> TightenStep | None:
    """Return the present step when it tightens bolts of ``group``."""
    step = d.step
    if isinstance(step, TightenStep) and any(chunk.group == group for chunk in chunks_in(d.job, step.id)):
        return step
    return None


def _go_past(d: Deciding, group: str) -> None:
    """Go on to the next open bolt of the present step, when the bolt that is held or given up is one of it."""
    step = _tightening_of(d, group)
    if step is None:
        return
    place, chunks = bolt_place(d), chunks_in(d.job, step.id)
    index, offset = pointer(d, step)
    if place is not None and not stands_aside(d, step.id, chunks[index], offset):
        bolt = bolt_at(d.job, step.id, index, offset)
    else:
        bolt = next_open(d, step, (index, offset)) or next_open(d, step, (0, 0))
    if d.unread is not None:
        d.put(Reached(step=step.id, bolt=bolt))
        return
    if bolt is None and place is not None and place[0].turn == chunks[-1].turn:
        tightening.stage_done(d, step, place[0])
    reach(d, step, bolt)
    if bolt is None and place is not None:
        steps.done_and_on(d, step)


# In again


def ask_freed(how: FreedHow) -> Act:
    """Return the act that asks whether a bolt that is held open, named by its number, is in again."""

    def ask(d: Deciding, command: Command) -> None:
        bolt = int(command.number or 0)
        groups = [group for group in groups_by_nearness(d) if (group, bolt) in d.state.held]
        if groups:
            asking.ask(d, AskBoltFreed(groups[0], bolt, how, tuple(groups[1:])))
        else:
            d.refuse(RefusedWhy.NOT_HELD)

    return ask


def _free(d: Deciding, question: AskBoltFreed, _reason: str) -> None:
    """Let a bolt go on with its first stage; what was lost may still lie in the machine when another one is in."""
    group, bolt = question.group, question.bolt
    held = d.state.held.get((group, bolt))
    if held is None:
        raise RuntimeError("A bolt is freed that was never held.")
    here = d.step.id if d.step else None
    d.put(BoltFreed(group=group, bolt=bolt, what=held.what, how=question.how, step=here))
    if held.what is TroubleWhat.LOST and question.how is FreedHow.REPLACED:
        d.put(Dropped(number=d.state.dropped_last + 1, step=held.step or None, group=group, bolt=bolt))
    step = _tightening_of(d, group)
    if step is not None:
        _begin(d, step, group, bolt)


def _begin(d: Deciding, step: TightenStep, group: str, bolt: int) -> None:
    """Go to the first tightening of a bolt that was begun: it has got nothing yet."""
    if d.unread is not None:
        d.put(Reached(step=step.id, bolt=front(d, step)))
        return
    measuring.begin_again(d, step, next((at for at in range(d.at) if _needs(d, at, group, bolt)), d.at))


def _needs(d: Deciding, at: int, group: str, bolt: int) -> bool:
    """Return whether the place with the index ``at`` is a tightening of the bolt that was come to, and not left out."""
    place = d.job.places[at]
    if not isinstance(place, StepPlace) or not isinstance(place.step, TightenStep) or d.shut(place):
        return False
    if place.key not in d.state.at_bolt or place.key in d.state.skipped or only_slackens(d.job, place.key):
        return False
    return any(chunk.group == group and bolt in chunk.bolts for chunk in chunks_in(d.job, place.key))


# Given up


def ask_left(d: Deciding, command: Command) -> None:
    """Ask why the work goes on without a bolt that is held open, or why one that is in doubt is left as it is."""
    bolt = int(command.number or 0)
    groups = [group for group in groups_by_nearness(d) if is_held(d, group, bolt)]
    if not groups:
        if not judging.ask_doubt_left(d, bolt):
            d.refuse(RefusedWhy.NOT_HELD)
    elif len(groups) == 1:
        asking.demand_reason(d, AskBoltLeft(groups[0], bolt))
    else:
        asking.offer(d, AskBoltLeft(groups[0], bolt, tuple(groups[1:])))


def _left(d: Deciding, question: AskBoltLeft, reason: str) -> None:
    d.put(
        Deviated(
            step=d.step.id if d.step else None,
            what=DeviationWhat.BOLT_HELD,
            reason=reason,
            group=question.group,
            bolts=(question.bolt,),
        )
    )
    _go_past(d, question.group)


# Dropped, and found


def take_dropped(d: Deciding, _: Command) -> None:
    """Put down that a bolt was dropped: at once, since nobody is told too often that one may lie in the machine."""
    d.put(Dropped(number=d.state.dropped_last + 1, step=d.step.id if d.step else None))


def take_any_found(d: Deciding, command: Command) -> None:
    """Ask about what was dropped and which bolts are lost, one after the other; behind them about what is missing."""
    things = findable(d)
    if things:
        asking.ask(d, things[0])
    else:
        preparing.take_found(d, command)


def _not_this(d: Deciding, question: AskDroppedFound | AskBoltFreed) -> None:
    """Ask about the next thing that may have been found."""
    if isinstance(question, AskBoltFreed) and question.how is not FreedHow.FOUND:
        _other_group(d, question)
        return
    things = findable(d)
    behind = things[things.index(question) + 1 :] if question in things else []
    if behind:
        asking.ask(d, behind[0])
    elif d.state.missing:
        asking.ask_found(d, d.state.missing)
    else:
        d.refuse(RefusedWhy.NOTHING_FOUND)


def _found(d: Deciding, question: AskDroppedFound, _reason: str) -> None:
    d.put(DroppedFound(number=question.number))
    moving.settle(d)


def came_out(d: Deciding, _: Command) -> None:
    """Take "yes" where a closing step asks whether what was dropped came out again: read it back."""
    asking.ask(d, AskDroppedFound(d.in_the_machine[0]))


def not_out(d: Deciding, _: Command) -> None:
    """Take "no" there: ask why the work goes on without it."""
    asking.demand_reason(d, AskDroppedLeft(d.in_the_machine[0]))


def _stays(d: Deciding, question: AskDroppedLeft, reason: str) -> None:
    things = (("dropped", question.number),)
    step = d.step.id if d.step else None
    d.put(Deviated(step=step, what=DeviationWhat.DROPPED, reason=reason, things=things))
    moving.settle(d)


def leave(d: Deciding) -> None:
    """Put down what is still held open, and not found, when the job is closed."""
    held = tuple(LeftHeld(group, bolt, one.what) for (group, bolt), one in d.state.held.items())
    d.put(TroubleLeft(bolts=held, dropped=tuple(d.state.dropped)))


add_grant(AskBoltHeld, _hold, otherwise=_other_group)
add_grant(AskBoltFreed, _free, otherwise=_not_this)
add_grant(AskBoltLeft, _left, otherwise=_other_group, passes=True, leaves_out=True)
add_grant(AskDroppedFound, _found, otherwise=_not_this)
add_grant(AskDroppedLeft, _stays)
