"""Answers to questions, and the turning of the voice. None of it changes anything about the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from assistant.events import Adjust, Hush, ToneKind, VoiceKnob
from assistant.facts.going import Refused
from assistant.facts.inputs import HeardFar, Understood, UnderstoodAlike, UnderstoodOf
from assistant.language.sentence import Sentence
from assistant.session.intents import KNOBS
from assistant.session.part import part_of
from assistant.session.places import CardPlace, StepPlace
from assistant.session.table import row_of
from assistant.session.telling import (
    asking,
    coming,
    day,
    detours,
    extra,
    going,
    groups,
    lasting,
    places,
    planned,
    preparing,
    second,
    timers,
    whys,
)
from assistant.session.telling.core import Telling, tells

_MOST_TOOLS = 4

_KNOBS: Mapping[str, Adjust | Hush] = {
    "louder": Adjust(VoiceKnob.VOLUME, 1),
    "quieter": Adjust(VoiceKnob.VOLUME, -1),
    "faster": Adjust(VoiceKnob.RATE, 1),
    "slower": Adjust(VoiceKnob.RATE, -1),
    "be_quiet": Hush(),
}


@tells(UnderstoodAlike)
@tells(UnderstoodOf)
@tells(Understood)
def _understood(t: Telling, fact: Understood) -> None:
    """Answer a question, or turn the voice; what else was asked for is told by the facts that came of it."""
    if t.has(Refused):
        return
    if fact.intent in KNOBS:
        t.do(_KNOBS[fact.intent])
        t.tone(ToneKind.ACCEPTED)
    elif fact.intent in ANSWERS:
        ANSWERS[fact.intent](t)
    elif fact.intent == "missing" and t.before.phase == t.before.base:
        _missing_still(t)


def _missing_still(t: Telling) -> None:
    """Say that a thing is missing which was told to be so before."""
    state, place = t.before.state, t.before.place
    thing = (place.key, state.thing or 1)
    if isinstance(place, CardPlace) and (state.thing or len(place.things) == 1) and thing in state.missing:
        t.say(*preparing.thing_missing(t, thing))


def _repeat(t: Telling) -> None:
    """Say the last thing again; while something is read back, that. A hazard that was cut short is read in any case."""
    t.keeps_last = True
    if t.state.waiting is not None:
        t.say(*asking.waiting_words(t, t.state.waiting))
        return
    if asked := second.second_words(t, t.language):
        t.say(*asked)
        return
    t.say(t.last_said)
    if t.unread is not None and t.waits_at_hazard and _was_cut(t):
        hazard = going.hazard_words(t, t.place.hazards[t.unread])
        t.say("" if t.language.talk.breaths(hazard) in t.last_said else hazard)


def _was_cut(t: Telling) -> bool:
    given = t.facts[0]
    cut_now = isinstance(given, Understood) and given.hazard is HeardFar.PART
    return cut_now or t.before.state.cut_hazard is not None


def _repeat_step(t: Telling) -> None:
    """Read the whole step, with its hazards."""
    place = t.place
    if not isinstance(place, StepPlace) or t.unread is not None:
        going.announce(t)
        return
    t.say(*(going.hazard_words(t, hazard, again=True) for hazard in place.hazards))
    t.say(*going.step_words(t, place), part_of(place.step).answer_again(t, place.step))


def _help(t: Telling) -> None:
    t.say(*help_words(t))


def help_words(t: Telling) -> list[str]:
    """Say what helps most here."""
    return [t.language.talk.can_say(row_of(t.phase).helps, single=t.state.one_by_one)]


def _which_tool(t: Telling) -> None:
    """Say the tools of the step, as its kind knows them; those that the procedure names are no secret of a hazard."""
    step = t.step
    own = part_of(step).answers.get("which_tool") if step is not None else None
    if own is not None:
        t.say(*own(t, step))
        return
    names = [t.job.items[tool].name if tool in t.job.items else tool for tool in (step.tools if step else ())]
    t.say(t.language.tools.names(names[:_MOST_TOOLS]) if names else t.text(Sentence.NO_TOOL))


def _of_step(intent: str, without: Sentence) -> Callable[[Telling], None]:
    """Return the answer to what only some kinds of step have; a hazard comes before anything of the step."""

    def answer(t: Telling) -> None:
        step = t.step
        own = part_of(step).answers.get(intent) if step is not None else None
        if t.unread is not None:
            t.fixed(Sentence.HAZARD_FIRST)
        elif own is None:
            t.fixed(without)
        else:
            t.say(*own(t, step))

    return answer


def _more(t: Telling) -> None:
    step = t.step
    own = part_of(step).answers.get("more") if step is not None else None
    if t.unread is not None:
        t.fixed(Sentence.HAZARD_FIRST)
    elif own is not None and (words := own(t, step)):
        t.say(*words)
    elif step is not None and step.info:
        t.say(t.language.steps.remark(step.info))
    else:
        t.fixed(Sentence.NO_MORE)


def _said(words: Callable[[Telling], Sequence[str]]) -> Callable[[Telling], None]:
    return lambda t: t.say(*words(t))


ANSWERS: dict[str, Callable[[Telling], None]] = {
    "where": _said(places.whereabouts),
    "left": _said(places.left_words),
    "which_bolts": _of_step("which_bolts", Sentence.NO_BOLTS),
    "what_value": _of_step("what_value", Sentence.NO_VALUE),
    "which_tool": _which_tool,
    "how_many": _of_step("how_many", Sentence.NO_COUNT),
    "more": _more,
    "repeat": _repeat,
    "repeat_step": _repeat_step,
    "repeat_stage": _of_step("repeat_stage", Sentence.NO_STAGE),
    "meanwhile": _said(detours.meanwhile_asked),
    "time_left": _said(timers.time_left),
    "help": _help,
    "what_missing": _said(preparing.what_missing),
    "brief": _said(places.brief_words),
    "why": _said(whys.why_words),
    "what_next": _said(coming.what_next),
    "next_three": _said(coming.next_three),
    "last_torque": _said(lasting.last_torque),
    "last_reading": _said(lasting.last_reading),
    "sizes": _said(groups.sizes),
    "where_bolts": _said(groups.where_bolts),
    "time": _said(day.time_words),
    "when_done": _said(day.done_words),
    "time_spent": _said(day.spent_words),
    "plan": _said(planned.plan_words),
    "extra_list": _said(extra.list_words),
}
"""Every question by its intent."""


def add_answer(intent: str, words: Callable[[Telling], Sequence[str]]) -> None:
    """Let ``words`` answer the question ``intent``, which is about what one kind of step does, anywhere in the job.

    Raises:
        ValueError: it has an answer.
    """
    if intent in ANSWERS:
        raise ValueError(f'Two functions answer "{intent}".')
    ANSWERS[intent] = _said(words)
