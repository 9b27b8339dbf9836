"""Answers to questions. None of them changes anything."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from assistant.fastening.units import Torque
from assistant.language.en import steps, tools
from assistant.language.values import StepAt
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import (
    answers,
    clocks,
    closing,
    moving,
    presenting,
    replies,
    replies_bolts,
    replies_lists,
    sentences,
    tooling,
)
from assistant.session.engine import Engine
from assistant.session.machine import OVERLAYS
from assistant.session.places import End, StepPlace


def where(e: Engine) -> None:
    """Say in one breath where the job is."""
    step = e.step
    here = e.bolt_place()
    if isinstance(step, TightenStep) and here is not None:
        chunk, bolts, index, offset = here
        bolts = bolts if e.state.one_by_one else chunk.bolts[offset:]
        todo = [bolt for at, bolt in enumerate(bolts, offset) if not e.bolt_done(step, index, at)]
        stage = chunk.stage if len(step.stages) > 1 else None
        e.say(_at(e, stage=stage, bolts=todo or bolts, done=not todo))
        return
    e.say(_at(e))


def _at(e: Engine, *, stage: int | None = None, bolts: Sequence[int] = (), done: bool = False) -> str:
    hazard = e.unread is not None
    match e.place:
        case StepPlace(number=number, of=of, closing=closing_step):
            at = StepAt(number, closing_step)
            return steps.at_step(at, of, stage=stage, bolts=bolts, done=done, hazard=hazard)
        case End():
            return steps.at_end()
        case _:
            return steps.in_preparation(hazard=hazard)


def left(e: Engine) -> None:
    """Say what is still to do: in this step first, then in the job."""
    step = e.step
    if isinstance(step, TightenStep):
        here = e.bolt_place()
        if here is not None:
            turn = here[0].turn
            chunks = e.chunks[step.id]
            numbers = [
                chunks[index].bolts[offset] for index, offset in e.open_bolts(step) if chunks[index].turn == turn
            ]
            e.say(replies.bolts_left(len(numbers)))
            e.say(replies.stages_left(chunks[-1].turn - turn))
    open_keys = set(closing.open_steps(e))
    number = sum(1 for place in e.places if isinstance(place, StepPlace) and place.key in open_keys)
    e.say(replies.steps_left(number))
    wrong = closing.trouble_words(e)
    if wrong:
        e.say(*replies_lists.open_items(wrong))


def which_bolts(e: Engine) -> None:
    """Say the present bolts alone."""
    here = e.bolt_place()
    if here is None:
        e.say(sentences.BOLTS_DONE if isinstance(e.step, TightenStep) else sentences.NO_BOLTS)
        return
    chunk, bolts, _, _ = here
    hidden = replies.hidden(e.groups[chunk.group], bolts)
    e.say(replies.bolts(bolts), presenting.where_words(e, chunk, bolts), hidden)


def what_value(e: Engine) -> None:
    """Say the present value alone: target, limits, and what is set on the wrench when that is another number."""
    here = e.bolt_place()
    step = e.step
    if here is not None:
        chunk = here[0]
        choice = tooling.choice_at(e)
        apart = choice is not None and not tooling.is_plain(e, chunk, choice)
        leads = tooling.leads_at(e, step, chunk, here[2]) if isinstance(step, TightenStep) else ()
        e.say(sentences.TURNED if presenting.is_turned(e) else "", *(replies_bolts.lead(one) for one in leads))
        apart = apart or tooling.no_number(leads)
        e.say(*presenting.value_words(e, chunk, surely=True, at_bolt=apart), *presenting.limit_words(e, chunk))
        e.say(*presenting.stroke_words(e, chunk))
        if choice is not None and apart:
            e.say(*replies_bolts.tool_words(choice, choice, anyway=True))
    elif isinstance(step, CheckStep) and step.limits is not None:
        e.say(replies.limits(tooling.check_limits(e, step.limits)))
    elif isinstance(step, TightenStep):
        e.say(sentences.BOLTS_DONE)
    else:
        e.say(sentences.NO_VALUE)


def tool_names(e: Engine) -> list[str]:
    """Return the tools of the stage, or of the step: at most four."""
    step = e.step
    here = e.bolt_place()
    tools: tuple[str, ...] = step.tools if step else ()
    if isinstance(step, TightenStep) and here is not None:
        tool = step.stages[here[0].stage - 1].tool
        tools = (tool,) if tool else tools
    return [e.items[tool].name if tool in e.items else tool for tool in tools][:4]


def which_tool(e: Engine) -> None:
    """Say the tools of the stage and what is set on them, or those that the step names."""
    known = presenting.tool_now(e) if e.unread is None else []
    e.say(sentences.TURNED if e.unread is None and presenting.is_turned(e) else "")
    if known:
        choice = tooling.choice_at(e)
        e.say(*known, replies_bolts.accuracy(choice) if choice else "")
        return
    names = tool_names(e)
    here = e.bolt_place()
    if e.tools is None and here is not None and isinstance(here[0].target, Torque) and names and e.unread is None:
        e.say(replies_bolts.procedure_names(names, tooling.in_unit(e, here[0].target)))
        return
    e.say(tools.names(names) if names else sentences.NO_TOOL)


def how_many(e: Engine) -> None:
    """Say how many fasteners this step is about."""
    step = e.step
    match step:
        case CountStep() | FitStep() if not answers.tells_count(e):
            e.say(sentences.COUNT_FIRST)
        case CountStep():
            e.say(replies.how_many(e.expected_count(step)))
        case FitStep():
            e.say(replies.how_many(step.quantity))
        case TightenStep():
            here = e.bolt_place()
            e.say(replies.how_many_bolts(len(here[1])) if here else sentences.BOLTS_DONE)
            if here:
                turn = here[0].turn
                done = [e.bolt_done(step, index, at) for index, at in e.bolts_of(step, turn)]
                e.say(replies.done_of(sum(done), len(done)))
        case _:
            e.say(sentences.NO_COUNT)


def more(e: Engine) -> None:
    """Say what else the procedure tells about this step."""
    step = e.step
    e.say(replies.sentence(step.info) if step is not None and step.info else sentences.NO_MORE)


def repeat(e: Engine) -> None:
    """Say the last thing again; while something is read back, that."""
    e.keep_last = True
    e.say(e.state.pending.question if e.state.pending else e.state.last_said)


def repeat_step(e: Engine) -> None:
    """Read the whole step, with its hazards."""
    place = e.place
    if isinstance(place, StepPlace) and e.unread is None:
        for hazard in place.hazards:
            e.say(replies.hazard_again(hazard))
        e.say(*moving.step_words(e, place), moving.answer_words(e))
    else:
        moving.announce(e)


def repeat_stage(e: Engine) -> None:
    """Read the whole stage from its start, without moving."""
    step = e.step
    here = e.bolt_place()
    if not isinstance(step, TightenStep):
        e.say(sentences.NO_STAGE)
        return
    if here is None:
        e.say(sentences.BOLTS_DONE)
        return
    e.say(*presenting.stage_again(e, step, here[0]), replies.now_at(here[1]))


_HELP: Mapping[str, tuple[str, ...]] = {
    "preparing": ("next", "missing", "repeat", "go_back"),
    "hazard": ("confirmed", "repeat", "go_back", "pause"),
    "doing": ("next", "repeat_step", "go_back", "skip"),
    "checking": ("yes", "no", "repeat_step", "skip"),
    "reading": ("reading", "what_value", "repeat_step", "skip"),
    "reading_signed": ("reading", "reading_below", "what_value", "skip"),
    "counting": ("count", "note", "repeat_step", "skip"),
    "renewing": ("confirmed", "which_bolts", "repeat_step", "skip"),
    "out_of_limits": ("do_again", "note", "replace", "skip"),
    "turned": ("next", "do_again", "replace", "one_by_one"),
    "tightening": ("next", "which_bolts", "what_value", "one_by_one"),
    "one_bolt": ("next", "which_bolts", "what_value", "all_together"),
    "fitting": ("count", "note", "repeat_step", "skip"),
    "waiting": ("start_timer", "time_left", "next", "note"),
    "finishing": ("finish", "left", "go_back", "note"),
    "confirming": ("confirmed", "cancel", "repeat"),
    "dictation": ("end_note", "cancel"),
    "hand_over": ("take_over", "cancel", "repeat"),
    "paused": ("carry_on", "where", "time_left", "repeat"),
}
"""At most four things that help most in each state."""


def help_(e: Engine) -> None:
    """Say what can be said here."""
    state = e.phase if e.phase in OVERLAYS else e.listening
    e.say(replies.can_say(_HELP[state], single=state == "one_bolt"))


def _behind_hazard(answer: Callable[[Engine], None]) -> Callable[[Engine], None]:
    """Hold an answer back while a hazard of the step is unread: it comes before anything of the step."""

    def held(e: Engine) -> None:
        if e.unread is not None:
            e.say(sentences.HAZARD_FIRST)
        else:
            answer(e)

    return held


ANSWERS: Mapping[str, Callable[[Engine], None]] = {
    "where": where,
    "left": left,
    "which_bolts": _behind_hazard(which_bolts),
    "what_value": _behind_hazard(what_value),
    "which_tool": which_tool,
    "how_many": _behind_hazard(how_many),
    "more": _behind_hazard(more),
    "repeat": repeat,
    "repeat_step": repeat_step,
    "repeat_stage": _behind_hazard(repeat_stage),
    "time_left": clocks.time_left,
    "help": help_,
}
"""Every question by the name of its intent."""
