"""What waits for "confirmed", what is taken down, what was accepted and what was left out."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import asking
from assistant.session.evolving.table import takes_up
from assistant.session.open_findings import finding_key
from assistant.session.state import Dictation, State, Waiting
from assistant.session.told import Told, ToldKind


@takes_up(asking.Asked)
def _asked(state: State, fact: asking.Asked) -> State:
    """Something waits for "confirmed"."""
    waiting = Waiting(fact.question, fact.at_ms, fact.needs_reason, fact.reason)
    return replace(state, waiting=waiting, dictation=None)


@takes_up(asking.AskedOn)
def _asked_on(state: State, fact: asking.AskedOn) -> State:
    """It waits anew."""
    return state if state.waiting is None else replace(state, waiting=replace(state.waiting, since_ms=fact.at_ms))


@takes_up(asking.Granted)
def _granted(state: State, _: asking.Granted) -> State:
    """It was confirmed, and is done by the facts behind this one."""
    return replace(state, waiting=None)


@takes_up(asking.DictationBegun)
def _dictation_begun(state: State, fact: asking.DictationBegun) -> State:
    """Words are taken down."""
    return replace(state, waiting=None, dictation=Dictation(fact.what, fact.at_ms, fact.question))


@takes_up(asking.WordsTaken)
def _words_taken(state: State, fact: asking.WordsTaken) -> State:
    """There are more words, or there is no room for them."""
    here = state.dictation
    if here is None:
        return state
    words = (*here.words, fact.text) if fact.text else here.words
    return replace(state, dictation=replace(here, words=words, is_cut=here.is_cut or fact.is_cut, since_ms=fact.at_ms))


@takes_up(asking.Cancelled)
def _cancelled(state: State, fact: asking.Cancelled) -> State:
    """Nothing waits any more."""
    silence = fact.at_ms if fact.why is asking.CancelledWhy.SILENCE else state.silence_ms
    dictation = state.dictation
    said_again = dictation.note if dictation is not None and dictation.what is not asking.Dictated.FINDING else 0
    return replace(
        state, waiting=None, dictation=None, handing_over=False, granting=None, finding=None, second=None,
        silence_ms=silence, note_last=said_again or state.note_last,
        finding_last=_finding_said_again(state) or state.finding_last,
    )  # fmt: skip


def _finding_said_again(state: State) -> str:
    """Return the key of the confirmed finding of which other words are dropped; "" where there is none."""
    dictation, found = state.dictation, state.finding
    number = dictation.note if dictation is not None and dictation.what is asking.Dictated.FINDING else 0
    number = number or (found.number if found is not None else 0)
    return finding_key(number) if number else ""


@takes_up(asking.Deviated)
def _deviated(state: State, fact: asking.Deviated) -> State:
    """Something was accepted for a reason."""
    what = asking.DeviationWhat
    state = replace(state, told=(*state.told, Told(ToldKind.DEVIATION, fact.step or "", fact.reason)))
    if fact.what is what.MISSING:
        return replace(state, without=state.without | set(fact.things))
    if fact.what is what.OPEN_TIME:
        return replace(state, late_accepted=state.late_accepted | {(fact.step or "", fact.timer)})
    if fact.what in (what.WAIT, what.BOLT_READING):
        return replace(state, deviations=state.deviations | {fact.step or ""})
    if fact.what is what.BOLT_HELD:
        gone = {(fact.group, bolt) for bolt in fact.bolts}
        held = {key: replace(one, given_up=True) if key in gone else one for key, one in state.held.items()}
        return replace(state, held=held)
    if fact.what is what.DROPPED:
        told = {number for _, number in fact.things}
        dropped = {key: replace(one, answered=True) if key in told else one for key, one in state.dropped.items()}
        return replace(state, dropped=dropped)
    return state


@takes_up(asking.Skipped)
def _skipped(state: State, fact: asking.Skipped) -> State:
    """Something was left out for a reason."""
    if fact.what is not asking.SkippedWhat.BOLTS:
        return replace(state, skipped={**state.skipped, fact.place: fact.reason}, thing=0)
    bolts = [(fact.place, fact.turn or 0, fact.run or 0, bolt) for bolt in fact.bolts]
    off = {bolt: reading for bolt, reading in state.off.items() if bolt not in bolts}
    left = {bolt: fact.reason for bolt in bolts if bolt not in state.bolts}
    return replace(state, off=off, bolts_skipped={**state.bolts_skipped, **left})
