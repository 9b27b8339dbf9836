"""How bolts are called when what was done to them is taken back, and what words cannot undo of it."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.facts.kinds import tighten, trouble
from assistant.language.sentence import Sentence
from assistant.language.values import StageAt
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.places import StepPlace
from assistant.session.stage_at import turn_at
from assistant.session.state import Confirmation
from assistant.session.telling.core import Telling
from assistant.session.telling.taking_back import adds, calls


@calls(tighten.BoltsTightened)
def _tightened(t: Telling, fact: tighten.BoltsTightened) -> str:
    loose = fact.way is Way.LOOSEN
    return t.language.taking_back.were_tightened(fact.bolts, _stage(t, fact.step, fact.turn), loose=loose)


@calls(tighten.OutOfLimits)
def _off(t: Telling, fact: tighten.OutOfLimits) -> str:
    return t.language.taking_back.was_read_at_bolt(fact.bolt)


@calls(tighten.BoltsLoosened)
def _loosened(t: Telling, fact: tighten.BoltsLoosened) -> str:
    return t.language.taking_back.were_tightened(fact.bolts, None, loose=True)


@calls(tighten.BoltReplaced)
def _replaced(t: Telling, fact: tighten.BoltReplaced) -> str:
    return t.language.taking_back.were_replaced(fact.bolts)


@calls(tighten.NewConfirmed)
def _new(t: Telling, fact: tighten.NewConfirmed) -> str:
    group = t.job.groups.get(fact.group)
    return t.language.taking_back.were_new(group.name if group else "")


@calls(trouble.BoltHeld)
def _held(t: Telling, fact: trouble.BoltHeld) -> str:
    return t.language.taking_back.was_held(fact.bolt)


@calls(trouble.BoltFreed)
def _freed(t: Telling, fact: trouble.BoltFreed) -> str:
    return t.language.taking_back.was_freed(fact.bolt)


@calls(trouble.DroppedFound)
def _dropped_found(t: Telling, _: trouble.DroppedFound) -> str:
    return t.language.taking_back.was_found_again()


def _stage(t: Telling, step: str, turn: int) -> StageAt | None:
    """Return the pass of a step where it has several."""
    place = t.job.places[t.job.index[step]] if step in t.job.index else None
    if not isinstance(place, StepPlace) or not isinstance(place.step, TightenStep):
        return None
    several = {one.turn for one in chunks_in(t.job, step)} > {turn}
    return turn_at(t.job, place.step, turn) if several else None


@adds
def _turned(t: Telling, one: Confirmation) -> list[str]:
    """Say that words undo no further angle, and what becomes of the bolts."""
    turned = [fact for fact in one.back if isinstance(fact, tighten.BoltsTakenBack) and fact.must_loosen]
    if not turned or any(isinstance(fact, tighten.BoltsTightened) and fact.way is Way.LOOSEN for fact in one.facts):
        return []
    return [t.text(Sentence.WORDS_UNDO_NO_ANGLE), t.text(_reuse(t, turned[0]))]


def _reuse(t: Telling, fact: tighten.BoltsTakenBack) -> Sentence:
    """Return what the procedure says of bolts that were turned: new ones, or the same ones from the first stage on."""
    group = t.job.groups.get(fact.group)
    if (group is not None and group.single_use) or _stretches(t, fact.step, fact.turn):
        return Sentence.TURNED_NEW_BOLTS
    return Sentence.TURNED_LOOSEN


def _stretches(t: Telling, step: str, turn: int) -> bool:
    """Return whether a pass stretches the bolts for good."""
    place = t.job.places[t.job.index[step]] if step in t.job.index else None
    if not isinstance(place, StepPlace) or not isinstance(place.step, TightenStep):
        return False
    return any(one.within.to_yield for one in chunks_in(t.job, step) if one.turn == turn)


def loosen_words(t: Telling, chunk: Chunk, bolts: tuple[int, ...]) -> list[str]:
    """Say of the present bolts, whose further angle was taken back, that they are loosened or replaced first."""
    group = t.job.groups[chunk.group]
    stretched = any(
        one.group == chunk.group and one.way is Way.ANGLE and one.within.to_yield
        for step in t.job.steps_of(TightenStep)
        for one in chunks_in(t.job, step.id)
    )
    what = Sentence.MUST_REPLACE if group.single_use or stretched else Sentence.MUST_LOOSEN
    return [t.language.bolts.bolts(bolts), t.text(what)]
