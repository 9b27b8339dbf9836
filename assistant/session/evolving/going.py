"""Places, hazards, the preparation, people, and the course of the job."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import going, inputs, people
from assistant.facts.asking_back import AskedBack
from assistant.session.evolving.table import takes_up
from assistant.session.helping import helps_until
from assistant.session.intents import CORRECT, KNOBS, QUESTIONS
from assistant.session.state import State
from assistant.session.time_spent import TimeSpent
from assistant.session.told import Told, ToldKind, notes_of

_LEAVE_NOTE = frozenset((*QUESTIONS, *KNOBS, CORRECT))
"""Behind these, a note that was read back is still the last thing that was said."""
_MISHEARD_MOST = 8
_PRACTISED_MOST = 9
"""So many times of what was not understood are remembered: more than any answer asks for."""


@takes_up(inputs.Opened)
def _opened(state: State, fact: inputs.Opened) -> State:
    """The job begins."""
    return replace(state, opened=True, tools=fact.tools, asset=fact.asset)


@takes_up(inputs.Resumed)
def _resumed(state: State, fact: inputs.Resumed) -> State:
    """The job goes on, perhaps with other tools."""
    return replace(
        state,
        note_last=0,
        finding_last="",
        spent=state.spent.left(),
        tools=state.tools if fact.tools is None else fact.tools,
    )


@takes_up(inputs.UnderstoodAlike)
@takes_up(inputs.UnderstoodOf)
@takes_up(inputs.Understood)
def _understood(state: State, fact: inputs.Understood) -> State:
    """Nothing was misheard lately; a command was said once more, and what is asked for in a row is counted."""
    what = f"{fact.intent} {fact.name}".strip() if isinstance(fact, inputs.UnderstoodOf) else fact.intent
    before, in_a_row = state.asked
    times = state.practised.get(fact.intent, 0)
    if times < _PRACTISED_MOST:
        state = replace(state, practised={**state.practised, fact.intent: times + 1})
    return replace(
        state,
        spent=_spent(state, fact),
        misheard=(),
        asked_back=None,
        asked=(what, in_a_row + 1 if what == before else 1),
        refused=state.refused if what == "why" else None,
        note_last=state.note_last if fact.intent in _LEAVE_NOTE else 0,
        finding_last=state.finding_last if fact.intent in _LEAVE_NOTE else "",
    )


@takes_up(going.Refused)
def _refused(state: State, fact: going.Refused) -> State:
    """Nothing came of it; who asks why is told."""
    return replace(state, refused=fact.why)


@takes_up(AskedBack)
def _asked_back(state: State, fact: AskedBack) -> State:
    """An expected command was not heard surely, and whoever works was asked."""
    return replace(state, asked_back=fact)


@takes_up(inputs.UnsureOf)
@takes_up(inputs.NotUnderstood)
def _not_understood(state: State, fact: inputs.NotUnderstood) -> State:
    """Remember when something was not understood."""
    misheard = (*state.misheard, fact.ended_ms)[-_MISHEARD_MOST:]
    return replace(state, misheard=misheard, spent=_spent(state, fact))


def _spent(state: State, fact: inputs.Utterance) -> TimeSpent:
    """Return how long the job was worked on by now; nobody works in a pause, and while it is handed over."""
    return state.spent.heard(fact.started_ms, fact.ended_ms, away=state.paused or state.handing_over)


@takes_up(going.Arrived)
def _arrived(state: State, fact: going.Arrived) -> State:
    """Stand at another place."""
    key = fact.place
    state = replace(
        state, place=key, thing=0, visit=state.visit + 1, visited=state.visited | {key}, cut_hazard=None,
        hurried=frozenset(one for one in state.hurried if one[0] != key),
    )  # fmt: skip
    if key in state.detour:
        state = replace(state, detour=state.detour[: state.detour.index(key)])
    if fact.hazards_anew:
        state = replace(state, acknowledged=frozenset(one for one in state.acknowledged if one[0] != key))
    if fact.bolts_anew:
        kept = {bolt: why for bolt, why in state.bolts_skipped.items() if bolt[0] != key}
        state = replace(state, bolts_skipped=kept)
    if fact.bolt is not None or key in state.at_bolt:
        state = replace(state, at_bolt={**state.at_bolt, key: fact.bolt})
    return state


@takes_up(going.HazardAcknowledged)
def _hazard_acknowledged(state: State, fact: going.HazardAcknowledged) -> State:
    """A hazard is out of the way."""
    return replace(
        state,
        acknowledged=state.acknowledged | {(fact.place, fact.number - 1)},
        cut_hazard=None,
        visited=state.visited | {fact.place},
    )


@takes_up(going.HazardAgain)
def _hazard_again(state: State, fact: going.HazardAgain) -> State:
    """A hazard is read again, once in a visit."""
    return replace(state, hurried=state.hurried | {(fact.place, fact.number - 1)}, cut_hazard=None)


@takes_up(going.HazardCut)
def _hazard_cut(state: State, fact: going.HazardCut) -> State:
    """The reading of a hazard was cut short, or it was read again since."""
    return replace(state, cut_hazard=(fact.place, fact.number - 1) if fact.is_cut else None)


@takes_up(going.Prepared)
def _prepared(state: State, fact: going.Prepared) -> State:
    """A card was gone through."""
    skipped = {place: why for place, why in state.skipped.items() if place != fact.place}
    return replace(state, prepared=state.prepared | {fact.place}, skipped=skipped, thing=0)


@takes_up(going.ThingAsked)
def _thing_asked(state: State, fact: going.ThingAsked) -> State:
    """A thing of the card is asked for."""
    return replace(state, thing=fact.number)


@takes_up(going.ItemMissing)
def _item_missing(state: State, fact: going.ItemMissing) -> State:
    """A thing is missing."""
    thing = (fact.place, fact.number)
    state = replace(state, here=state.here - {thing}) if thing in state.here else state
    return state if thing in state.missing else replace(state, missing=(*state.missing, thing))


@takes_up(going.ItemFound)
def _item_found(state: State, fact: going.ItemFound) -> State:
    """A thing is here again."""
    gone = (fact.place, fact.number)
    return replace(state, missing=tuple(thing for thing in state.missing if thing != gone))


@takes_up(going.Paused)
def _paused(state: State, _: going.Paused) -> State:
    """A pause begins."""
    return replace(state, paused=True)


@takes_up(going.CarriedOn)
def _carried_on(state: State, _: going.CarriedOn) -> State:
    """A pause ends."""
    return replace(state, paused=False, visited=state.visited | {state.place})


@takes_up(going.WordsChosen)
def _words_chosen(state: State, fact: going.WordsChosen) -> State:
    """More is said from now on, or less."""
    return replace(state, wordiness=fact.how)


@takes_up(going.HandingOver)
def _handing_over(state: State, _: going.HandingOver) -> State:
    """Nobody works on the job."""
    return replace(state, handing_over=True)


@takes_up(going.Closed)
def _closed(state: State, _: going.Closed) -> State:
    """The job is over."""
    return replace(state, closed=True, waiting=None, dictation=None)


@takes_up(people.HandedOver)
def _handed_over(state: State, fact: people.HandedOver) -> State:
    """Somebody else works on the job, and has heard none of the hints."""
    name = fact.taken_by
    known = state.operators if not name or name in state.operators else (*state.operators, name)
    helping = helps_until(state.helping, name, state.spent.last_ms, state.spent.away_ms)
    return replace(
        state, helping=helping, handing_over=False, paused=False, operator=name, operators=known,
        visited=frozenset(), practised={}, shift=state.shift + 1, way_read=frozenset(),
    )  # fmt: skip


@takes_up(people.OperatorsNamed)
def _operators_named(state: State, fact: people.OperatorsNamed) -> State:
    """It is known who works on the job."""
    names = tuple(name.strip() for name in fact.names.split(",") if name.strip())
    return replace(state, operators=names, operator=state.operator or (names[0] if names else ""))


@takes_up(people.Noted)
def _noted(state: State, fact: people.Noted) -> State:
    """A note was taken down."""
    return _kept(state, ToldKind.NOTE, fact)


@takes_up(people.ProblemNoted)
def _problem_noted(state: State, fact: people.ProblemNoted) -> State:
    """A problem was taken down."""
    return _kept(state, ToldKind.PROBLEM, fact)


def _kept(state: State, kind: ToldKind, fact: people.Noted | people.ProblemNoted) -> State:
    told = (*state.told, Told(kind, fact.step or "", fact.text))
    return replace(
        state, dictation=None, told=told, note_last=len(notes_of(told)), silence_ms=fact.silent_ms or state.silence_ms
    )
