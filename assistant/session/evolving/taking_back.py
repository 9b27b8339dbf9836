"""What is open again when a confirmation is taken back, and what of the base code can be."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from assistant.facts import Fact, asking, going, steps, taking_back
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.state import State, TimerState
from assistant.session.told import ToldKind

# Taken back


@takes_up(taking_back.TakenBack)
def _taken_back(state: State, fact: taking_back.TakenBack) -> State:
    """A confirmation is withdrawn, and with it those behind it of which nothing was left."""
    heard = [one.heard_ms for one in state.confirmed]
    at = max((number for number, one in enumerate(heard) if one == fact.heard_ms), default=len(heard))
    return replace(state, confirmed=state.confirmed[:at])


@takes_up(taking_back.Reopened)
def _reopened(state: State, fact: taking_back.Reopened) -> State:
    """A place is open again, as if nobody had answered there."""
    key = fact.place
    if not any(key in one for one in _answered(state)):
        return state
    read = state.last_reading
    return replace(
        state,
        done=state.done - {key},
        prepared=state.prepared - {key},
        past_stops=state.past_stops - {key},
        gates_held={step: question for step, question in state.gates_held.items() if step != key},
        skipped={place: why for place, why in state.skipped.items() if place != key},
        miscounts={step: number for step, number in state.miscounts.items() if step != key},
        counts={step: number for step, number in state.counts.items() if step != key},
        answers={step: answer for step, answer in state.answers.items() if step != key},
        fitted={step: number for step, number in state.fitted.items() if step != key},
        deviations=state.deviations - {key},
        last_reading=None if read is not None and read.step == key and not read.group else read,
        acknowledged=frozenset(one for one in state.acknowledged if one[0] != key),
        witnessed=state.witnessed - {key},
        released={step: to_come for step, to_come in state.released.items() if step != key},
    )


def _answered(state: State) -> tuple[Collection[str], ...]:
    """Return the keys of places that are answered in one way or another, or past which somebody let the job go."""
    return state.done, state.prepared, state.skipped, state.past_stops, state.released, state.witnessed


@takes_up(taking_back.HazardReopened)
def _hazard_reopened(state: State, fact: taking_back.HazardReopened) -> State:
    """A hazard waits again."""
    return replace(state, acknowledged=state.acknowledged - {(fact.place, fact.number - 1)})


@takes_up(taking_back.ThingAsBefore)
def _thing_as_before(state: State, fact: taking_back.ThingAsBefore) -> State:
    """A thing is missing again, or not."""
    thing = (fact.place, fact.number)
    if fact.missing is (thing in state.missing):
        return state
    rest = tuple(one for one in state.missing if one != thing)
    return replace(state, missing=(*rest, thing) if fact.missing else rest)


@takes_up(taking_back.DeviationWithdrawn)
def _deviation_withdrawn(state: State, fact: taking_back.DeviationWithdrawn) -> State:
    """It is not accepted any more, and nobody is told of the reason."""
    at = fact.told
    if 0 <= at < len(state.told) and state.told[at].kind is ToldKind.DEVIATION:
        state = replace(state, told=state.told[:at] + state.told[at + 1 :])
    return replace(
        state,
        without=state.without - set(fact.things),
        late_accepted=state.late_accepted - {(fact.step or "", fact.timer)},
    )


@takes_up(taking_back.TimerAsBefore)
def _timer_as_before(state: State, fact: taking_back.TimerAsBefore) -> State:
    """A timer does not run, or as it did before."""
    timers = {name: timer for name, timer in state.timers.items() if name != fact.timer}
    if fact.was is not None:
        was = fact.was
        timers[fact.timer] = TimerState(was.ends_ms, was.visit, was.warned, was.over, was.stopped, was.doubted)
    return replace(state, timers=timers)


# What can be taken back


@takes_back(steps.StepDone)
def _step_done(_: State, fact: steps.StepDone) -> Sequence[Fact]:
    return (taking_back.Reopened(place=fact.step),)


@takes_back(going.Prepared)
def _prepared(_: State, fact: going.Prepared) -> Sequence[Fact]:
    return (taking_back.Reopened(place=fact.place),)


@takes_back(asking.Skipped)
def _skipped(_: State, fact: asking.Skipped) -> Sequence[Fact] | None:
    """Bolts that were left out are known to their kind."""
    if fact.what is asking.SkippedWhat.BOLTS:
        return None
    return (taking_back.Reopened(place=fact.place),)


@takes_back(asking.Deviated)
def _deviated(state: State, fact: asking.Deviated) -> Sequence[Fact]:
    return (
        taking_back.DeviationWithdrawn(
            step=fact.step,
            what=fact.what,
            told=len(state.told),
            timer=fact.timer if fact.what is asking.DeviationWhat.OPEN_TIME else "",
            things=tuple(thing for thing in fact.things if thing not in state.without),
        ),
    )


@takes_back(going.HazardAcknowledged)
def _hazard(_: State, fact: going.HazardAcknowledged) -> Sequence[Fact]:
    return (taking_back.HazardReopened(place=fact.place, number=fact.number),)


@takes_back(going.ItemMissing)
def _missing(state: State, fact: going.ItemMissing) -> Sequence[Fact]:
    was = (fact.place, fact.number) in state.missing
    return (taking_back.ThingAsBefore(place=fact.place, number=fact.number, missing=was),)


@takes_back(going.ItemFound)
def _found(state: State, fact: going.ItemFound) -> Sequence[Fact]:
    was = (fact.place, fact.number) in state.missing
    return (taking_back.ThingAsBefore(place=fact.place, number=fact.number, missing=was),)


@takes_back(going.ThingAsked, always=True)
def _next_thing(state: State, fact: going.ThingAsked) -> Sequence[Fact] | None:
    """A thing was said to be here by going on to the next one; nothing but where the job stands shows it."""
    return () if 0 < state.thing < fact.number else None


@takes_back(steps.TimerStarted)
def _started(state: State, fact: steps.TimerStarted) -> Sequence[Fact]:
    return (_as_before(state, fact.timer),)


@takes_back(steps.TimerStopped)
def _stopped(state: State, fact: steps.TimerStopped) -> Sequence[Fact]:
    return (_as_before(state, fact.timer),)


def _as_before(state: State, timer: str) -> taking_back.TimerAsBefore:
    was = state.timers.get(timer)
    if was is None:
        return taking_back.TimerAsBefore(timer=timer)
    as_it_was = taking_back.TimerWas(was.ends_ms, was.visit, was.warned, was.over, was.stopped, was.doubted)
    return taking_back.TimerAsBefore(timer=timer, was=as_it_was)
