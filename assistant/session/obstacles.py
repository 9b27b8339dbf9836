"""What keeps somebody from going to a step now: the machine is not as it is when the steps before it are done.

The work that the file puts before a step is compared with what was really done, in its order: locks, parts that are
off, fasteners that are out, new parts, waits. Where the procedure says by ``needs`` what the step depends on, that is
asked for in the place of parts and waits: its author knows better than the words of the steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.facts.detours import Obstacle
from assistant.procedure.model import Group, Step
from assistant.procedure.refits import Refit
from assistant.session import locks
from assistant.session.gates import gates_before
from assistant.session.here import Here
from assistant.session.open_things import open_places
from assistant.session.part import part_of
from assistant.session.places import AnyPlace, CardPlace, SafetyPlace, StepPlace, StopPlace


@dataclass(frozen=True, slots=True)
class InTheWay:
    """One thing in the way: ``what`` is its id, ``step`` that of the open step that must come first, or "".

    ``name`` is what the procedure calls it.
    """

    why: Obstacle
    what: str = ""
    step: str = ""
    name: str = ""


def in_the_way(here: Here, place: AnyPlace) -> InTheWay | None:
    """Return what keeps somebody from going to ``place``, the gravest thing first; None when nothing does.

    A step that was done is only looked at, and not past a gate, a hazard of the whole job or a stop either.
    """
    if here.shut(place):
        return InTheWay(Obstacle.NO_STEP)
    gate = next(iter(gates_before(here, here.job.index[place.key])), None)
    if gate is not None:
        return InTheWay(Obstacle.GATE, gate.key, gate.key)
    if safety_unread(here, here.job.index[place.key]):
        return InTheWay(Obstacle.PREPARATION)
    if not isinstance(place, StepPlace) or place.key in here.state.done:
        return next(_stops(here, place), None)
    return next(_all(here, place), None)


def safety_unread(here: Here, at: int) -> bool:
    """Return whether a hazard of the whole job stands before the index ``at`` and waits to be acknowledged."""
    return any(
        isinstance(place, SafetyPlace) and (place.key, 0) not in here.state.acknowledged
        for place in here.job.places[:at]
    )


def _all(here: Here, place: StepPlace) -> Iterator[InTheWay]:
    if _preparation_open(here):
        yield InTheWay(Obstacle.PREPARATION)
    yield from _stops(here, place)
    yield from _needs(here, place.step)
    before = _before(here, place)
    yield from _locks(here, place.step, before)
    if place.step.needs is None:
        chain = _chain(here, place)
        yield from _waits(here, [step for step in before if step.id in chain])
        yield from _parts(here, before)
        yield from _new_parts(here, before)
        yield from _fasteners(here, before)


def needs_of(here: Here, place: StepPlace) -> tuple[str, ...]:
    """Return the ids of the steps that must be done before ``place``: the one before it where nobody said."""
    if place.step.needs is not None:
        return place.step.needs
    before = here.job.places[here.place_before(here.job.index[place.key])]
    early = isinstance(before, SafetyPlace) or (isinstance(before, CardPlace) and not before.within)
    return () if early or before is place else (before.key,)  # an offer or a stop is never done


def _chain(here: Here, place: StepPlace) -> set[str]:
    """Return the ids of all steps that ``place`` depends on: those that it needs, those that they need, and so on."""
    found: set[str] = set()
    ahead: list[AnyPlace] = [place]
    while ahead:
        one = ahead.pop()
        if isinstance(one, StepPlace):
            new = [name for name in needs_of(here, one) if name not in found and name in here.job.index]
            found.update(new)
            ahead += [here.job.places[here.job.index[name]] for name in new]
    return found


def _preparation_open(here: Here) -> bool:
    """Return whether cards or hazards of the whole job are open, or things are missing that nobody went without."""
    first = next(number for number, place in enumerate(here.job.places) if isinstance(place, StepPlace))
    early = {place.key for place in here.job.places[:first]}
    lacking = set(here.state.missing) - here.state.without
    return not early.isdisjoint(open_places(here)) or (here.at < first and bool(lacking))


def stops_before(here: Here, at: int) -> Iterator[StopPlace]:
    """Yield where the job stops before the index ``at``, and nobody gave a reason to go on."""
    for one in here.job.places[:at]:
        if isinstance(one, StopPlace) and not here.shut(one) and one.key not in here.state.past_stops:
            yield one


def _stops(here: Here, place: AnyPlace) -> Iterator[InTheWay]:
    """Yield that the job stops before ``place``."""
    for one in stops_before(here, here.job.index[place.key]):
        yield InTheWay(Obstacle.STOP, one.key)


def _needs(here: Here, step: Step) -> Iterator[InTheWay]:
    """Yield the steps that the procedure says the step needs and that are not done."""
    for name in step.needs or ():
        at = here.job.index.get(name)
        if at is not None and name not in here.state.done and not here.shut(here.job.places[at]):
            yield InTheWay(Obstacle.NEED, name, name)


def _before(here: Here, place: StepPlace) -> list[Step]:
    """Return the steps before ``place`` that belong to the job and were not left out, in the order of the file."""
    places = here.job.places[: here.job.index[place.key]]
    return [
        one.step
        for one in places
        if isinstance(one, StepPlace) and one.key not in here.state.skipped and not here.shut(one)
    ]


def _locks(here: Here, step: Step, before: list[Step]) -> Iterator[InTheWay]:
    """Yield locks that are not in, or not out, as the step has them."""
    held = locks.held_now(here)
    asked = {*step.against, step.unlock or ""} - {"", step.lock}
    if step.needs is None:
        asked |= locks.held_behind(before)
    loose = held - {*step.against, step.unlock} if locks.moves(step) else set()
    for item in here.job.procedure.support_equipment:
        if item.id in asked - held:
            first = _open(here, (one for one in before if one.lock == item.id))
            yield InTheWay(Obstacle.LOCK_OUT, item.id, first, item.name)
        if item.id in loose:
            first = _open(here, (one for one in _every(here) if one.unlock == item.id))
            yield InTheWay(Obstacle.LOCK_IN, item.id, first, item.name)


def _waits(here: Here, before: list[Step]) -> Iterator[InTheWay]:
    """Yield waits before the step that are open and not over."""
    for step in before:
        timer = part_of(step).waits_for(step)
        if timer is None or step.id in here.state.done:
            continue
        state = here.state.timers.get(timer)
        if state is None or not state.over:
            yield InTheWay(Obstacle.WAIT, timer, step.id, here.job.timers[timer].name)


def _parts(here: Here, before: list[Step]) -> Iterator[InTheWay]:
    """Yield parts that are on and should be off, or the other way round."""
    done, written = here.state.done, {step.id for step in before}
    for refit in here.job.refits:
        off, should = _is_off(refit, done), _is_off(refit, written)
        if should and not off:
            yield InTheWay(Obstacle.PART_ON, refit.off, "" if refit.off in done else refit.off, refit.part)
        elif off and not should:
            back = _open(here, (step for step in _every(here) if step.id in refit.back))
            yield InTheWay(Obstacle.PART_OFF, refit.off, back, refit.part)


def _is_off(refit: Refit, done: Iterable[str]) -> bool:
    return refit.off in done and refit.back.isdisjoint(done)


def _new_parts(here: Here, before: list[Step]) -> Iterator[InTheWay]:
    """Yield new parts that should be fitted and are not."""
    for step in before:
        for spare in step.fits if step.id not in here.state.done else ():
            yield InTheWay(Obstacle.NEW_PART, spare, step.id, here.job.items[spare].name)


def _fasteners(here: Here, before: list[Step]) -> Iterator[InTheWay]:
    """Yield groups of fasteners that are in and should be out, or the other way round."""
    done = locks.done_in_order(here)
    for group in here.job.procedure.groups:
        out, should = _is_out(group, done), _is_out(group, before)
        if should and not out:
            first = _open(here, (step for step in before if step.takes_out == group.id))
            yield InTheWay(Obstacle.FASTENERS_IN, group.id, first, group.name)
        elif out and not should:
            ways = (step for step in _every(here) if step.begins_anew(group) and step.takes_out != group.id)
            yield InTheWay(Obstacle.FASTENERS_OUT, group.id, _open(here, ways), group.name)


def _is_out(group: Group, done: Iterable[Step]) -> bool:
    out = False
    for step in done:
        if step.takes_out == group.id:
            out = True
        elif step.begins_anew(group):
            out = False
    return out


def _every(here: Here) -> Iterator[Step]:
    return (place.step for place in here.places if isinstance(place, StepPlace))


def _open(here: Here, steps: Iterable[Step]) -> str:
    """Return the id of the first of ``steps`` that is not done, or ""."""
    return next((step.id for step in steps if step.id not in here.state.done), "")
