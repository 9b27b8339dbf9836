"""Going from place to place, and reading out what is there."""

from __future__ import annotations

from assistant.fastening.units import TorqueUnit
from assistant.procedure.model import Step
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep
from assistant.session import clocks, locks, needs, presenting, replies, replies_lists, sentences, tooling
from assistant.session.engine import Engine
from assistant.session.places import Card, End, Safety, StepPlace


def arrive(e: Engine, at: int) -> None:
    """Go to the place ``at`` and read it out."""
    state = e.state
    before = e.place
    state.at = at
    state.thing = None
    state.visit += 1
    place = e.place
    if isinstance(place, Safety) or place.key in state.done:
        state.acknowledged -= {(place.key, number) for number in range(len(place.hazards))}
    state.hurried -= {(place.key, number) for number in range(len(place.hazards))}
    if isinstance(place, StepPlace) and isinstance(place.step, TightenStep):
        if place.key in state.skipped:
            # Who comes back to a step that was left out is offered all of its bolts again.
            state.bolts_skipped = {bolt: why for bolt, why in state.bolts_skipped.items() if bolt[0] != place.key}
        state.pointers[place.key] = front(e, place.step)
    e.settle()
    if isinstance(before, Card | Safety) and not isinstance(place, Card | Safety):
        e.say(sentences.PREPARED)
    if isinstance(place, StepPlace):
        clocks.run_on(e, place.step)
    announce(e)


def front(e: Engine, step: TightenStep) -> tuple[int, int]:
    """Return where the first bolt is that was not tightened; behind the last one when all were."""
    for index, chunk in enumerate(e.chunks[step.id]):
        for offset in range(len(chunk.bolts)):
            if (step.id, index, offset) not in e.state.bolts:
                return index, offset
    return len(e.chunks[step.id]), 0


def advance(e: Engine) -> None:
    """Go on to the next place."""
    arrive(e, e.state.at + 1)


def announce(e: Engine) -> None:
    """Read out the present place: its unread hazard, or what is to be done there."""
    place = e.place
    if isinstance(place, StepPlace) and place.chapter and not e.state.acknowledged & {(place.key, 0)}:
        e.say(replies.chapter(place.chapter))
    if e.unread is not None:
        e.say(replies.hazard(place.hazards[e.unread]))
        return
    match place:
        case Card(things=things) if e.state.thing is not None:
            e.say(replies_lists.thing(things[e.state.thing]))
        case Card(key=key, what=what, things=things):
            e.say(replies.card(what, things))
            here = {thing: name for thing, name in e.state.missing.items() if thing[0] == key}
            e.say(*replies_lists.missing(here, still=True))
            _hint(e, "preparing")
        case End():
            e.say(sentences.ALL_DONE)
        case StepPlace():
            e.say(*step_words(e, place))
            _hint(e, "more" if place.step.info else "")
            _hint(e, e.listening)
        case Safety():
            e.say(replies.hazard(place.hazards[0]))


_HINTS = {
    "more": sentences.HINT_MORE,
    "preparing": sentences.HINT_NEXT,
    "doing": sentences.HINT_DONE,
    "checking": sentences.ANSWER_YES_NO,
    "tightening": sentences.HINT_DONE,
    "counting": sentences.ANSWER_COUNT,
    "fitting": sentences.ANSWER_FIT,
}


def _hint(e: Engine, state: str) -> None:
    """Tell what to say, the first time that it is needed."""
    if state in _HINTS and state not in e.state.hinted:
        e.state.hinted.add(state)
        e.say(_HINTS[state])


def answer_words(e: Engine) -> str:
    """Return how the present step is answered, where it is with more than a word; "" elsewhere."""
    return _HINTS[e.listening] if e.listening in ("counting", "fitting") else ""


def step_words(e: Engine, place: StepPlace) -> list[str]:
    """Return the sentences of a step: its number, its command, and what its kind needs."""
    step = place.step
    lines = [replies.step_number(place.number, place.of, closing=place.closing)]
    lines += [*locks.reminder(e, step), replies.ear(step.text)]
    lines += needs.still_missing(e, step)
    lines += kind_words(e, step)
    if step.before_timer:
        lines.append(clocks.left_words(e, step.before_timer))
    if step.id in e.state.done and not isinstance(step, TightenStep):
        lines.append(sentences.DONE_BEFORE)
        if step.starts_timer:
            lines.append(sentences.START_AGAIN)
    return lines


def kind_words(e: Engine, step: Step) -> list[str]:
    """Return what the kind of a step needs to hear."""
    match step:
        case CheckStep(limits=limits) if limits is not None:
            hint = sentences.ANSWER_BELOW if e.listening == "reading_signed" else ""
            return [replies.limits(tooling.check_limits(e, limits)), sentences.ANSWER_READING, hint]
        case CountStep():
            return replies.count_ask(e.groups[step.group], step.direction, step.place)
        case WaitStep():
            words = clocks.wait_words(e, step.timer)
            return [] if step.id in e.state.done and words == sentences.WAIT_OVER else [words]
        case TightenStep():
            return presenting.present(e, whole=True)
    return []


def torque_check(e: Engine) -> bool:
    """Return whether the present step is a check that asks for a torque."""
    step = e.step
    return isinstance(step, CheckStep) and step.limits is not None and step.limits.unit in set(TorqueUnit)


def step_done(e: Engine, step: Step) -> None:
    """Write down that a step is done, and let its timer begin."""
    repeated = step.id in e.state.done
    e.state.done.add(step.id)
    e.state.skipped.pop(step.id, None)
    e.record("step_done", step=step.id, repeated=repeated)
    if step.starts_timer and not repeated:
        running = e.state.timers.get(step.starts_timer)
        if running is None or running.visit != e.state.visit:
            clocks.start(e, step.starts_timer)
    if step.before_timer:
        clocks.stop_if_last(e, step.before_timer)


def go_back(e: Engine) -> None:
    """Go to the bolts before, or to the place before."""
    step = e.step
    if isinstance(step, TightenStep) and e.unread is None:
        index, offset = e.state.pointers.get(step.id, (0, 0))
        if (index, offset) > (0, 0):
            chunks = e.chunks[step.id]
            if e.state.one_by_one:
                index, offset = (index, offset - 1) if offset else (index - 1, len(chunks[index - 1].bolts) - 1)
            else:
                index, offset = (index, 0) if offset else (index - 1, 0)
            e.state.pointers[step.id] = (index, offset)
            e.record("moved", to=step.id)
            e.settle()
            e.say(*presenting.present(e, whole=True))
            return
    if e.state.at == 0:
        e.say(sentences.START_OF_JOB)
        announce(e)
        return
    e.record("moved", to=e.places[e.state.at - 1].key)
    arrive(e, e.state.at - 1)
