"""What is said when something was done to bolts, was read off at them, or is asked about them."""

from __future__ import annotations

from assistant.events import ToneKind
from assistant.facts.codes import Side
from assistant.facts.going import UnitChosen
from assistant.facts.kinds.tighten import (
    BoltAgain,
    BoltReplaced,
    BoltsTaken,
    BoltsTightened,
    LongPause,
    NewConfirmed,
    OutOfLimits,
    Reached,
    StageDone,
)
from assistant.facts.kinds.trouble import BoltHeld
from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.language.sentence import Sentence
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import bolt_done, bolt_place, bolts_in_turn, bolts_open, chunks_in, one_at_a_time, pointer
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import StepPlace
from assistant.session.stage_at import stage_at
from assistant.session.telling import bolt_values, presenting, stages
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.readings import is_apart, off_words
from assistant.session.tools import chosen
from assistant.session.tools.values import in_unit, value_of
from assistant.session.turning import Standing, is_turned


@tells(Reached)
def _reached(t: Telling, fact: Reached) -> None:
    """Read out the next bolts, with the stage where a pass begins, and for whoever comes back to them."""
    step = t.step
    if fact.bolt is None or not isinstance(step, TightenStep) or t.unread is not None:
        return  # the next step is told, or the hazard comes first
    chunks, before = chunks_in(t.job, step.id), pointer(t.before, step)
    is_new = before[0] >= len(chunks) or chunks[before[0]].turn != fact.bolt.turn
    is_back = pointer(t.after, step) <= before and not t.has(BoltHeld)  # held just now: the same bolts without it
    again = is_new and stages.is_next_time(t, step, chunks[pointer(t.after, step)[0]])
    t.say(*presenting.present(t, whole=not again and (is_new or is_back), next_time=again))


@tells(BoltsTaken)
def _taken(t: Telling, _: BoltsTaken) -> None:
    t.say(*presenting.present(t, whole=False))


@tells(BoltsTightened)
def _tightened(t: Telling, fact: BoltsTightened) -> None:
    """Read back what was read off, unless it had been out of limits, and was read back then."""
    place = bolt_place(t.before)
    if fact.reading is None or fact.verdict not in (None, Side.WITHIN) or place is None:
        return
    t.say(
        t.language.bolts.measured(
            fact.bolts[0],
            value_of(fact.reading),
            within=fact.verdict is not None,
            general=fact.limits.low is None and fact.limits.high is None,
            at_bolt=is_apart(t.before, place[0]),
        )
    )


@tells(StageDone)
def _stage_done(t: Telling, fact: StageDone) -> None:
    """Say how many bolts a pass had, when they went by one at a time."""
    step = t.before.step
    if not isinstance(step, TightenStep) or not _went_by_one(t, step, fact.turn):
        return
    number = len(bolts_in_turn(t.before.job, step, fact.turn))
    if number > 1:  # who did one bolt knows that it was one
        t.say(t.language.bolts.counted(number - len(fact.not_tightened)))


def _went_by_one(t: Telling, step: TightenStep, turn: int) -> bool:
    chunks = (one for one in chunks_in(t.job, step.id) if one.turn == turn)
    return any(one_at_a_time(t.before, chunk) for chunk in chunks)


@tells(OutOfLimits)
def _out_of_limits(t: Telling, _: OutOfLimits) -> None:
    t.say(*off_words(t))


@tells(BoltAgain)
def _again(t: Telling, _: BoltAgain) -> None:
    t.say(*presenting.present(t, whole=False))


@tells(BoltReplaced)
def _replaced(t: Telling, fact: BoltReplaced) -> None:
    t.say(t.language.bolts.replaced(fact.bolts[0]))


@tells(NewConfirmed)
def _new(t: Telling, _: NewConfirmed) -> None:
    """Read out the bolts that may be tightened now, with the stage where it begins with them."""
    step, place = t.step, bolt_place(t)
    if place is None or not isinstance(step, TightenStep):
        return
    chunks, index = chunks_in(t.job, step.id), place[2]
    t.say(*presenting.present(t, whole=index == 0 or chunks[index - 1].turn != place[0].turn))


@tells(UnitChosen)
def _unit(t: Telling, fact: UnitChosen) -> None:
    t.say(t.language.bolts.unit_from_now(TorqueUnit(fact.unit)))
    if t.step is not None and t.unread is None:
        part_of(t.step).in_unit(t, t.step)


@tells(LongPause)
def _long_pause(t: Telling, fact: LongPause) -> None:
    """Say that bolts waited long, when the time for it comes; else that is said as they are read out."""
    if not presenting.is_with_bolts(t, fact):
        t.tone(ToneKind.TIMER)
        t.say(*t.language.bolts.long_pause(fact.seconds))


# Said of the step


def in_unit_words(t: Telling, _: TightenStep) -> None:
    """Say the present bolts again, with the values in another unit and the tools for it."""
    if bolt_place(t) is not None:
        t.say(*presenting.present(t, whole=False, anew=True))


def where_at_bolts(t: Telling, step: TightenStep) -> str:
    """Say in one breath where the job is, down to the bolts."""
    at, place = t.place, bolt_place(t)
    assert isinstance(at, StepPlace)
    hazard = t.unread is not None
    if place is None:
        return t.language.steps.at_step(at.called, at.of, hazard=hazard)
    chunk, bolts, index, offset = place
    bolts = bolts if one_at_a_time(t, chunk) else chunk.bolts[offset:]
    todo = [bolt for number, bolt in enumerate(bolts, offset) if not bolt_done(t, step, index, number)]
    several = len(step.stages) > 1 or _in_passes(step)
    stage = stage_at(step, chunk) if several else None
    return t.language.steps.at_step(at.called, at.of, stage=stage, bolts=todo or bolts, done=not todo, hazard=hazard)


def _in_passes(step: TightenStep) -> bool:
    """Return whether a stage of the step is done in several passes."""
    return any(len(stage.passes) > 1 or stage.passes[0].repeat > 1 for stage in step.stages)


def left(t: Telling, step: TightenStep) -> list[str]:
    """Say how many bolts of this stage are still to do, and how many stages come after it."""
    place = bolt_place(t)
    if place is None or t.base == Standing.HELD:
        return []
    turn, chunks = place[0].turn, chunks_in(t.job, step.id)
    number = sum(chunks[index].turn == turn for index, _ in bolts_open(t, step))
    several, say = _in_passes(step), t.language.steps
    return [say.bolts_left(number, passes=several), say.stages_left(chunks[-1].turn - turn, passes=several)]


# Questions


def which_bolts(t: Telling, _: TightenStep) -> list[str]:
    """Say the present bolts alone."""
    place = bolt_place(t)
    if place is None:
        return [t.text(Sentence.BOLTS_DONE)]
    chunk, bolts = place[:2]
    hidden = presenting.hidden_words(t, chunk, bolts)
    return [presenting.called_words(t, chunk, bolts), presenting.spot_words(t, chunk, bolts), hidden]


def what_value(t: Telling, step: TightenStep) -> list[str]:
    """Say the present value alone: target, limits, and what is set on the wrench when that is another number."""
    place = bolt_place(t)
    if place is None:
        return [t.text(Sentence.BOLTS_DONE)]
    chunk, index = place[0], place[2]
    choice, leads = chosen.choice_at(t), chosen.leads_at(t, step, chunk, index)
    apart = is_apart(t, chunk)
    said = [t.text(Sentence.TURNED) if is_turned(t) else "", *presenting.lead_words(t, leads)]
    said += bolt_values.value_said(t, chunk, surely=True, at_bolt=apart or chosen.no_number(leads))
    said += [*bolt_values.limit_words(t, chunk), *bolt_values.stroke_words(t, chunk)]
    if choice is not None and apart:
        said += t.language.tools.tool_words(choice, choice, anyway=True)
    return said


def tool_names(here: Here, step: TightenStep) -> list[str]:
    """Return the names of the tools in the hand now, or those that the procedure names: at most four."""
    choice, place = chosen.choice_known(here), bolt_place(here)
    if choice is not None:
        return [tool.name for tool in (choice.wrench, choice.adapter, choice.multiplier) if tool]
    tool = place[0].tool if place is not None else None
    names = (tool,) if tool else step.tools
    return [here.job.items[name].name if name in here.job.items else name for name in names][:4]


def which_tool(t: Telling, step: TightenStep) -> list[str]:
    """Say the tools of the stage and what is set on them, or those that the step names."""
    place = bolt_place(t)
    names = tool_names(t, step)
    if t.unread is not None:
        return [t.language.tools.names(names) if names else t.text(Sentence.NO_TOOL)]
    turned = t.text(Sentence.TURNED) if is_turned(t) else ""
    if known := presenting.tool_now(t):
        choice = chosen.choice_at(t)
        return [turned, *known, t.language.tools.accuracy(choice.accuracy) if choice else ""]
    if t.box is None and place is not None and isinstance(place[0].target, Torque) and names:
        return [turned, t.language.tools.procedure_names(names, in_unit(t, place[0].target))]
    return [turned, t.language.tools.names(names) if names else t.text(Sentence.NO_TOOL)]


def how_many_here(t: Telling, step: TightenStep) -> list[str]:
    """Say how many bolts are meant now, and how many of the stage are done."""
    place = bolt_place(t)
    if place is None:
        return [t.text(Sentence.BOLTS_DONE)]
    done = [bolt_done(t, step, index, at) for index, at in bolts_in_turn(t.job, step, place[0].turn)]
    return [
        t.language.bolts.how_many_bolts(len(place[1])),
        t.language.bolts.done_of(sum(done), len(done), passes=_in_passes(step)),
    ]
