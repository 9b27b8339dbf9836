"""From an understood command to the act that carries it out, and from a confirmed read-back likewise."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.events import Adjust, Command, Hush, ToneKind, VoiceKnob
from assistant.fastening.units import TorqueUnit
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import (
    answers,
    clocks,
    closing,
    critical,
    handover,
    hazards,
    measuring,
    missing,
    moving,
    questions,
    replies,
    sentences,
    tightening,
)
from assistant.session.engine import Engine
from assistant.session.grammar import QUESTIONS
from assistant.session.places import Card, End, Safety, StepPlace
from assistant.session.state import Pending

_KNOBS = {
    "louder": Adjust(VoiceKnob.VOLUME, 1),
    "quieter": Adjust(VoiceKnob.VOLUME, -1),
    "faster": Adjust(VoiceKnob.RATE, 1),
    "slower": Adjust(VoiceKnob.RATE, -1),
}
_OVER_A_READ_BACK = {"repeat", "be_quiet", *_KNOBS}
"""What may be said while something waits for "confirmed" without cancelling it: it changes nothing about the job.

From rules 3 on every question may."""
_ANSWERS_ANEW = {
    "accept_count": ("count",),
    "accept_reading": ("reading", "reading_below"),
    "go_without": ("found", "go_back"),
}
"""A new value cancels the one that was read back, and is taken in its place. A "yes" is not: it could mean either."""

_OFFERED = {("late", "go_back")}
"""What a read-back offers besides "confirmed": it is done at once, and not only taken for a no (from rules 3 on)."""


def act(e: Engine, command: Command) -> None:
    """Carry out ``command``."""
    name = command.intent
    if name == "words" and e.phase == "hand_over":
        handover.take(e, command.text)
    elif name == "words":
        critical.words(e, command.text)
    elif name in _KNOBS:
        e.do(_KNOBS[name])
        e.tone(ToneKind.ACCEPTED)
    elif name == "be_quiet":
        e.do(Hush())
        e.tone(ToneKind.ACCEPTED)
    elif e.phase == "confirming" and name != "confirmed" and not _keeps_waiting(e, name):
        _instead(e, command)
    elif name in questions.ANSWERS:
        questions.ANSWERS[name](e)
    else:
        ACTS[name](e, command)
    if e.rules >= 3 and e.phase == "confirming" and name in QUESTIONS:
        critical.wait_on(e, remind=name != "repeat")


def _keeps_waiting(e: Engine, name: str) -> bool:
    return name in _OVER_A_READ_BACK or (e.rules >= 3 and name in QUESTIONS)


def _instead(e: Engine, command: Command) -> None:
    """Cancel what waits for "confirmed"; a new value is taken in its place."""
    pending = e.state.pending
    action = pending.action if pending else ""
    if pending is not None and action == "found" and command.intent == "no":
        critical.cancel(e, "said", quietly=True)
        missing.not_this_one(e, pending)
        return
    anew = command.intent in _ANSWERS_ANEW.get(action, ()) or (e.rules >= 3 and (action, command.intent) in _OFFERED)
    critical.cancel(e, "said", quietly=anew)
    if anew:
        ACTS[command.intent](e, command)
    elif action == "accept_answer":
        moving.announce(e)


def _next(e: Engine, _: Command) -> None:
    step, place = e.step, e.place
    match e.base:
        case "hazard":
            e.say(sentences.NOT_PAST_HAZARD)
        case "preparing":
            _prepared(e)
        case "doing" if step is not None:
            if not clocks.too_late(e):
                again = step.id in e.state.done
                moving.step_done(e, step)
                if again and step.starts_timer and not _timer_fresh(e, step.starts_timer):
                    e.say(sentences.NOT_STARTED_AGAIN)
                moving.advance(e)
        case "tightening" | "one_bolt":
            tightening.confirm(e)
        case "renewing":
            e.say(sentences.NOT_PAST_NEW)
        case "turned":
            tightening.pass_on(e)
        case "out_of_limits":
            e.say(sentences.NOT_PAST_READING, sentences.DECIDE)
        case "waiting":
            answers.wait_next(e)
        case "finishing":
            e.say(sentences.ALL_DONE)
        case base:
            if place.key in e.state.done:
                e.record("moved", to=e.places[e.state.at + 1].key)
                moving.advance(e)
                return
            asks = {
                "counting": sentences.ANSWER_COUNT,
                "fitting": sentences.ANSWER_FIT,
                "reading": sentences.ANSWER_READING,
                "reading_signed": sentences.ANSWER_READING,
            }
            e.say(asks.get(e.listening if base == "checking" else base, sentences.ANSWER_YES_NO))


def _timer_fresh(e: Engine, timer_id: str) -> bool:
    timer = e.state.timers.get(timer_id)
    return timer is not None and timer.visit == e.state.visit


def _prepared(e: Engine) -> None:
    place = e.place
    if isinstance(place, Card):
        missing.here(e, place)
    else:
        moving.advance(e)


def _go_back(e: Engine, _: Command) -> None:
    if not missing.back(e):
        moving.go_back(e)


def _confirmed(e: Engine, _: Command) -> None:
    if e.phase == "confirming":
        pending = critical.confirm(e)
        if pending is not None:
            if pending.action != "finish":
                e.state.pending = None
                e.settle()
            ACTIONS[pending.action](e, pending)
            if e.state.pending is pending:
                e.state.pending = None
        return
    if e.base == "renewing":
        measuring.renewed(e)
    else:
        hazards.acknowledge(e)


def _skip(e: Engine, command: Command) -> None:
    match e.place:
        case Safety():
            e.say(sentences.SAFETY_STAYS)
        case End():
            e.say(sentences.NOTHING_TO_SKIP)
        case Card():
            critical.demand_reason(e, "skip_place", sentences.SKIP_PREPARATION, [])
        case StepPlace(key=key) if key in e.state.done:
            e.say(sentences.DONE_BEFORE)
        case StepPlace(step=TightenStep()) if command.intent == "skip" and e.unread is None:
            tightening.leave_out(e)
        case StepPlace(number=number, closing=closing_step):
            critical.demand_reason(e, "skip_step", replies.skip_step(number, closing=closing_step), [])


def _skip_place(e: Engine, pending: Pending) -> None:
    place = e.place
    e.state.skipped[place.key] = pending.reason
    e.record("skipped", place=place.key, what="place", reason=pending.reason)
    e.state.thing = None
    missing.leave(e)


def _skip_step(e: Engine, pending: Pending) -> None:
    step = e.step
    if step is None:
        raise RuntimeError("There is no step to leave out.")
    e.state.skipped[step.id] = pending.reason
    unread = [number for number in range(len(step.hazards)) if (step.id, number) not in e.state.acknowledged]
    e.record("skipped", step=step.id, what="step", reason=pending.reason, hazards_not_read=len(unread))
    if step.before_timer:
        clocks.stop_if_last(e, step.before_timer)
    moving.advance(e)


def _late(e: Engine, pending: Pending) -> None:
    step, timer = str(pending.data["step"]), str(pending.data["timer"])
    e.state.late_accepted.add((step, timer))
    e.record("deviation", step=step, what="open_time", timer=timer, reason=pending.reason)
    e.say(sentences.WRITTEN_DOWN)
    moving.announce(e)


def _pause(e: Engine, _: Command) -> None:
    e.record("paused")
    e.table.fire("pause")
    e.say(sentences.PAUSED)


def _carry_on(e: Engine, _: Command) -> None:
    e.record("carried_on")
    e.settle()
    moving.announce(e)
    clocks.ask_about_doubted(e)


def _reading(e: Engine, command: Command) -> None:
    if isinstance(e.step, TightenStep):
        measuring.reading(e, command)
    else:
        answers.reading(e, command)


def _unit(unit: TorqueUnit) -> Callable[[Engine, Command], None]:
    return lambda e, _: measuring.choose_unit(e, unit)


ACTIONS: Mapping[str, Callable[[Engine, Pending], None]] = {
    "skip_place": _skip_place,
    "skip_step": _skip_step,
    "skip_bolts": lambda e, pending: tightening.left_out(e, pending.reason),
    "accept_count": answers.accept_count,
    "accept_answer": answers.accept_answer,
    "accept_reading": answers.accept_reading,
    "accept_bolt_reading": measuring.accept,
    "loosened": lambda e, _: measuring.loosened(e),
    "replace_bolt": lambda e, _: measuring.replaced(e),
    "leave_wait": answers.leave_wait,
    "late": _late,
    "timer_agreed": clocks.agree,
    "go_without": missing.go_without,
    "found": missing.found_one,
    "hand_over": lambda e, _: handover.leave(e),
    "finish": closing.close,
}
"""What a confirmed read-back does."""

ACTS: Mapping[str, Callable[[Engine, Command], None]] = {
    "next": _next,
    "go_back": _go_back,
    "skip": _skip,
    "skip_step": _skip,
    "confirmed": _confirmed,
    "cancel": lambda e, _: handover.stay(e) if e.phase == "hand_over" else critical.cancel(e, "said"),
    "missing": lambda e, _: missing.missing(e),
    "found": lambda e, _: missing.found(e),
    "what_missing": lambda e, _: missing.what_missing(e),
    "hand_over": lambda e, _: handover.ask(e),
    "brief": lambda e, _: handover.brief(e),
    "take_over": lambda e, _: handover.take_over(e),
    "operator": handover.operator,
    "one_by_one": lambda e, _: tightening.one_by_one(e, True),
    "all_together": lambda e, _: tightening.one_by_one(e, False),
    "count": answers.count,
    "reading": _reading,
    "reading_below": answers.reading_below,
    "do_again": lambda e, _: measuring.again(e),
    "replace": lambda e, _: measuring.ask_replace(e),
    **{name: _unit(unit) for name, unit in measuring.UNITS.items()},
    "yes": answers.yes_no,
    "no": answers.yes_no,
    "note": lambda e, _: measuring.ask_why(e) if e.base == "out_of_limits" else critical.note(e, "note"),
    "problem": lambda e, _: critical.note(e, "problem"),
    "end_note": lambda e, command: critical.end_note(e, command.text),
    "pause": _pause,
    "carry_on": _carry_on,
    "start_timer": lambda e, _: answers.start_timer(e),
    "finish": lambda e, _: closing.finish(e),
}
"""What a command does."""
