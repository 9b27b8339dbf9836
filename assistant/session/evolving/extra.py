"""Branches that open and end, extra work and how it stands, and findings."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import extra
from assistant.session.answered import Granting
from assistant.session.evolving.customer import settled
from assistant.session.evolving.table import takes_up
from assistant.session.state import Extra, ExtraIs, FoundOut, State
from assistant.session.told import Told, ToldKind


@takes_up(extra.BranchTaken)
def _taken(state: State, fact: extra.BranchTaken) -> State:
    """A branch opens; what was done in it before is to be done anew."""
    state = replace(state, branches={**state.branches, fact.branch: fact.round})
    return _anew(state, fact.branch, set(fact.steps)) if fact.round > 1 else state


def _anew(state: State, branch: str, steps: set[str]) -> State:
    """Forget what was done in steps. That bolts were turned for good is no work but how they are, and stays."""
    cards = {place for place in state.prepared if place.rpartition(":")[0] == branch}
    stops = {place for place in state.past_stops if place.rpartition(":")[0] == branch}
    return replace(
        state,
        done=state.done - steps,
        prepared=state.prepared - cards,
        past_stops=state.past_stops - stops,
        skipped={one: why for one, why in state.skipped.items() if one not in steps},
        counts={one: number for one, number in state.counts.items() if one not in steps},
        answers={one: answer for one, answer in state.answers.items() if one not in steps},
        fitted={one: number for one, number in state.fitted.items() if one not in steps},
        deviations=state.deviations - steps,
        acknowledged=frozenset(one for one in state.acknowledged if one[0] not in steps),
        at_bolt={one: bolt for one, bolt in state.at_bolt.items() if one not in steps},
        bolts=frozenset(bolt for bolt in state.bolts if bolt[0] not in steps),
        bolts_skipped={bolt: why for bolt, why in state.bolts_skipped.items() if bolt[0] not in steps},
        off={bolt: off for bolt, off in state.off.items() if bolt[0] not in steps},
        off_accepted=frozenset(bolt for bolt in state.off_accepted if bolt[0] not in steps),
        renewed=frozenset(one for one in state.renewed if one[0] not in steps),
    )


@takes_up(extra.BranchLeft)
def _left(state: State, fact: extra.BranchLeft) -> State:
    """A branch is shut again, and nobody is asked about it any more."""
    branches = {one: number for one, number in state.branches.items() if one != fact.branch}
    return replace(state, branches=branches, extra={one: of for one, of in state.extra.items() if one != fact.branch})


@takes_up(extra.BranchEnded)
def _ended(state: State, fact: extra.BranchEnded) -> State:
    """A branch is behind; its check is asked again, or the job goes back to where it was begun from."""
    if fact.how is extra.BranchEnd.AGAIN:
        return replace(state, done=state.done - {fact.step})
    return _with(state, fact.branch, back_to="") if fact.how is extra.BranchEnd.BACK else state


@takes_up(extra.StopPassed)
def _stop_passed(state: State, fact: extra.StopPassed) -> State:
    """The job goes on all the same."""
    step = fact.place.partition(":")[0]
    told = (*state.told, Told(ToldKind.DEVIATION, step, fact.reason))
    return replace(state, past_stops=state.past_stops | {fact.place}, told=told)


def _unclocked(state: State, work: str) -> State:
    """Return ``state`` in which ``work`` is not worked on: it is not granted any more."""
    return replace(state, clocked="") if state.clocked == work else state


def _with(state: State, work: str, **changes: object) -> State:
    if work not in state.extra:
        return state
    return replace(state, extra={**state.extra, work: replace(state.extra[work], **changes)})


@takes_up(extra.ExtraAsked)
def _asked(state: State, fact: extra.ExtraAsked) -> State:
    """Extra work waits for an answer."""
    if fact.work in state.extra:
        return _with(_unclocked(state, fact.work), fact.work, stands=ExtraIs.ASKED)
    return replace(state, extra={**state.extra, fact.work: Extra(fact.number, ExtraIs.ASKED)})


@takes_up(extra.GrantBegun)
def _grant_begun(state: State, fact: extra.GrantBegun) -> State:
    """Who granted it is asked."""
    return replace(state, granting=Granting(fact.work, fact.at_ms))


@takes_up(extra.GrantBy)
def _grant_by(state: State, fact: extra.GrantBy) -> State:
    """How it was granted is asked."""
    if state.granting is None:
        return state
    return replace(state, granting=Granting(state.granting.work, fact.at_ms, fact.role, fact.name))


@takes_up(extra.ExtraGranted)
def _granted(state: State, fact: extra.ExtraGranted) -> State:
    """Extra work may be done."""
    if fact.way is extra.GrantWay.PAGE:
        state = settled(state, fact.work, fact.at_ms)
    grant = {"role": fact.role, "name": fact.name, "way": fact.way, "at_ms": fact.at_ms}
    return _with(replace(state, granting=None), fact.work, stands=ExtraIs.GRANTED, **grant)


@takes_up(extra.ExtraDeclined)
def _declined(state: State, fact: extra.ExtraDeclined) -> State:
    """Extra work is not done, and stays as advice."""
    grant = {"role": None, "name": "", "way": None, "at_ms": fact.at_ms}
    return _with(replace(state, granting=None), fact.work, stands=ExtraIs.DECLINED, **grant)


@takes_up(extra.ExtraBegun)
def _begun(state: State, fact: extra.ExtraBegun) -> State:
    """Remember where to go back to behind the work."""
    return _with(state, fact.work, back_to=fact.back_to)


@takes_up(extra.ExtraDone)
def _done(state: State, fact: extra.ExtraDone) -> State:
    """Work without steps is done."""
    return _with(state, fact.work, stands=ExtraIs.DONE)


@takes_up(extra.FindingTaken)
def _finding_taken(state: State, fact: extra.FindingTaken) -> State:
    """How bad it is, is asked."""
    number = state.dictation.note if state.dictation is not None else 0
    if not number and state.finding is not None:
        number = state.finding.number
    found = FoundOut(fact.text, fact.step or "", fact.at_ms, fact.complete, number)
    return replace(state, dictation=None, finding=found)


@takes_up(extra.FindingPlaced)
def _finding_placed(state: State, fact: extra.FindingPlaced) -> State:
    """It is somewhere else."""
    if state.finding is None:
        return state
    return replace(state, finding=replace(state.finding, step=fact.step, since_ms=fact.at_ms))


@takes_up(extra.FindingKept)
def _finding_kept(state: State, fact: extra.FindingKept) -> State:
    """A finding is kept; what must be seen to before the machine runs waits for an answer, all else is advice."""
    stands = ExtraIs.ASKED if fact.severity is extra.Severity.BEFORE_RUNNING else ExtraIs.ADVISED
    again = fact.work in state.extra  # as a finding was stored that was corrected, before there was a fact for it
    kept = Extra(
        fact.number, stands, text=fact.text, step=fact.step or "", severity=fact.severity, complete=fact.complete,
        corrected=again,
    )  # fmt: skip
    return replace(
        state, finding=None, waiting=None, dictation=None, extra={**state.extra, fact.work: kept},
        silence_ms=fact.silent_ms or state.silence_ms, finding_last=fact.work,
    )  # fmt: skip
