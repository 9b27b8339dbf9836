"""What was done to bolts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import TypeVar

from msgspec.structs import replace

from assistant.facts import going
from assistant.facts.codes import Side, Way
from assistant.facts.kinds import tighten
from assistant.fastening.quantities import TorqueUnit
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import LastReading, LastTorque
from assistant.session.state import Bolt, OffReading, Planned, State

V = TypeVar("V")
_UNITS = {unit.value: unit for unit in TorqueUnit}


@takes_up(tighten.Reached)
def _reached(state: State, fact: tighten.Reached) -> State:
    """Another bolt is next."""
    return replace(state, at_bolt={**state.at_bolt, fact.step: fact.bolt})


@takes_up(tighten.BoltsTaken)
def _bolts_taken(state: State, fact: tighten.BoltsTaken) -> State:
    """Bolts are taken one at a time, or as a group."""
    return replace(state, one_by_one=fact.one_by_one)


@takes_up(tighten.ToolsChosen)
def _tools_chosen(state: State, fact: tighten.ToolsChosen) -> State:
    """The tools of a pass are chosen."""
    planned = Planned(fact.day, fact.unit, tuple(sorted(fact.clicks.items())), state.taken)
    return replace(state, planned={**state.planned, (fact.step, fact.turn): planned})


@takes_up(tighten.PlansDropped)
def _plans_dropped(state: State, _: tighten.PlansDropped) -> State:
    """Tools are chosen anew, and a long pause is told again."""
    return replace(state, planned={}, pause_told=frozenset())


@takes_up(tighten.BoltsTightened)
def _tightened(state: State, fact: tighten.BoltsTightened) -> State:
    """Bolts were taken to their target."""
    places = {(fact.step, fact.turn, fact.run, bolt) for bolt in fact.bolts}
    state = replace(
        state,
        bolts=state.bolts | places,
        off_accepted=state.off_accepted - places,
        off=_but(state.off, places),
        bolts_skipped=_but(state.bolts_skipped, places),
    )
    if fact.way in (Way.TORQUE, Way.ANGLE) and state.came_loose:
        state = replace(state, came_loose=state.came_loose - {(fact.group, bolt) for bolt in fact.bolts})
    if fact.reading is not None and state.doubts:
        state = replace(state, doubts=_but(state.doubts, places))  # what was read off there before counts no more
    if fact.reading is not None and fact.bolts:
        state = replace(state, last_reading=LastReading(fact.step, fact.reading, fact.group, fact.bolts[0]))
    if fact.clicks and fact.tool:
        state = replace(state, clicks={**state.clicks, fact.tool: state.clicks.get(fact.tool, 0) + fact.clicks})
    if fact.verdict in (Side.BELOW, Side.ABOVE):
        state = replace(state, off_accepted=state.off_accepted | places)
    match fact.way:
        case Way.TORQUE:
            return replace(
                state,
                last_torque=_last_torque(state, fact),
                torqued_ms={**state.torqued_ms, fact.group: fact.at_ms},
                multiplied={**state.multiplied, fact.group: fact.multiplier or ""},
            )
        case Way.ANGLE:
            return replace(state, turned={**state.turned, **dict.fromkeys(places, fact.group)})
        case Way.LOOSEN:
            kept = {
                bolt: group for bolt, group in state.turned.items() if group != fact.group or bolt[3] not in fact.bolts
            }
            return loose(replace(state, turned=kept), fact.group, fact.bolts)
    return state


def _last_torque(state: State, fact: tighten.BoltsTightened) -> LastTorque | None:
    if fact.target is None:
        return state.last_torque
    return LastTorque(
        fact.step, fact.stage, fact.group, fact.bolts, fact.target, fact.setting, fact.reading, fact.at_ms
    )


def _but(of: Mapping[Bolt, V], places: Iterable[Bolt]) -> dict[Bolt, V]:
    gone = set(places)
    return {bolt: value for bolt, value in of.items() if bolt not in gone}


@takes_up(tighten.OutOfLimits)
def _out_of_limits(state: State, fact: tighten.OutOfLimits) -> State:
    """A bolt waits for a decision."""
    bolt = (fact.step, fact.turn, fact.run, fact.bolt)
    read = LastReading(fact.step, fact.reading, fact.group, fact.bolt)
    return replace(state, off={**state.off, bolt: OffReading(fact.reading, fact.verdict)}, last_reading=read)


@takes_up(tighten.BoltAgain)
def _bolt_again(state: State, fact: tighten.BoltAgain) -> State:
    """A bolt is done again."""
    return replace(state, off=_but(state.off, {(fact.step, fact.turn, fact.run, fact.bolt)}))


@takes_up(tighten.BoltsLoosened)
def _loosened(state: State, fact: tighten.BoltsLoosened) -> State:
    """Bolts are loose again."""
    if fact.worn:
        state = replace(state, worn=state.worn | {(fact.group, bolt) for bolt in fact.bolts})
    return undone(loose(state, fact.group, fact.bolts), fact.undone, fact.reopened)


@takes_up(tighten.BoltReplaced)
def _replaced(state: State, fact: tighten.BoltReplaced) -> State:
    """A bolt is a new one."""
    state = as_new(state, fact.group, fact.bolts)
    return undone(loose(state, fact.group, fact.bolts), fact.undone, fact.reopened)


def as_new(state: State, group: str, bolts: Iterable[int]) -> State:
    """Let bolts be new ones: nothing is worn, and none of them was ever tightened again."""
    new = {(group, bolt) for bolt in bolts}
    counted = {bolt: times for bolt, times in state.retightened.items() if bolt not in new}
    return replace(state, worn=state.worn - new, retightened=counted, came_loose=state.came_loose - new)


def loose(state: State, group: str, bolts: Iterable[int]) -> State:
    """Let bolts go on from their first stage: they were loosened, or are others, or out of the machine."""
    return replace(state, to_loosen=state.to_loosen - {(group, bolt) for bolt in bolts})


def unread(state: State, places: Collection[Bolt]) -> State:
    """Forget what was read off at bolts, and what was thought of it."""
    if not (state.read or state.doubts or state.doubts_left):
        return state
    return replace(
        state,
        read=_but(state.read, places),
        doubts=_but(state.doubts, places),
        doubts_left=state.doubts_left - set(places),
    )


def undone(state: State, taken: Iterable[tighten.Undone], reopened: Iterable[str]) -> State:
    """Take back what bolts had got, and open steps again."""
    places = {(one.step, one.turn, one.run, one.bolt) for one in taken}
    state = unread(state, places)
    return replace(
        state,
        bolts=state.bolts - places,
        off_accepted=state.off_accepted - places,
        turned=_but(state.turned, places),
        off=_but(state.off, places),
        bolts_skipped=_but(state.bolts_skipped, places),
        done=state.done - set(reopened),
    )


@takes_up(tighten.NewConfirmed)
def _new_confirmed(state: State, fact: tighten.NewConfirmed) -> State:
    """Fasteners of single use are new."""
    if fact.in_place_of_worn:
        return as_new(state, fact.group, fact.bolts)
    return replace(state, renewed=state.renewed | {(fact.step, fact.group)})


@takes_up(going.UnitChosen)
def _unit_chosen(state: State, fact: going.UnitChosen) -> State:
    """Values are said in another unit, and tools chosen by it; one that is not known is that of the procedure."""
    return replace(state, unit=_UNITS.get(fact.unit), planned={})


@takes_up(tighten.LongPause)
def _long_pause(state: State, fact: tighten.LongPause) -> State:
    """A long pause was told."""
    return replace(state, pause_told=state.pause_told | {(fact.step, fact.turn, fact.group)})
