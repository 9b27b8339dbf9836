"""Branches of the job, extra work, and findings."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.language.en.numbers import number_words
from assistant.language.en.talk import text as fixed
from assistant.language.en.words import WHOLE, bare, ear, plural, short, step_name
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt

_WORDS = 12
"""Words of a title or a finding that are said where it is one thing of several."""


def _about(minutes: Decimal | None) -> str:
    return "" if minutes is None else f"About {plural(round(minutes) or 1, 'minute', 'minutes')}."


def _called(title: str, steps: int) -> str:
    name = bare(title)
    return name[:1].lower() + name[1:] if name else plural(steps, "extra step", "extra steps")


def leads_to(title: str, steps: int, minutes: Decimal | None, *, extra: bool) -> list[str]:
    what = "extra work" if extra else "more work"
    return [
        f"That leads to {what}: {_called(title, steps)}." if title else f"That leads to {_called(title, steps)}.",
        "" if extra else _about(minutes),
        fixed(Sentence.SAY_CONFIRMED),
    ]


def beyond_limit(*, below: bool) -> str:
    return "That is below the limit." if below else "That is above the limit."


def opens(title: str, steps: int, minutes: Decimal | None) -> list[str]:
    return [f"Now: {_called(title, steps)}.", _about(minutes)]


def back_to_job() -> str:
    return "Back to the job."


def asked_again() -> str:
    return "Now check again."


def stops(*, passed: bool) -> list[str]:
    if passed:
        return ["The job stopped here, and goes on for a reason.", "Next goes on."]
    return ["The job stops here.", "To go on for a reason, say skip this. Else say finish job."]


def stop_passed_summary() -> str:
    return "Go on although the job stops here"


def at_stop() -> str:
    return "The job stops here."


def offer_work(number: int, title: str, why: str, minutes: Decimal | None) -> list[str]:
    return [f"Extra work {number_words(number)}: {_called(title, 1)}.", ear(why) if why else "", _about(minutes),
            answer_offer()]  # fmt: skip


def at_offer(title: str) -> str:
    return f"Extra work is offered: {_called(title, 1)}."


def answer_offer() -> str:
    return "Say yes, no, or ask later."


def later(number: int) -> str:
    return f"Extra work {number_words(number)} stays open."


def work_declined() -> str:
    return "Declined. It stays as advice."


def granted_by(operators: int) -> list[str]:
    more = ["A name can be typed."] if operators < 1 else ["Or say operator and the number."]
    return ["Who granted it? Say customer, manager, or office.", *more]


def granted_how() -> str:
    return "By telephone, or in person?"


_ROLES = {"customer": "the customer", "manager": "the manager", "office": "the office"}
_WAYS = {"telephone": "by telephone", "in_person": "in person", "page": "on the page"}


def grant_ask(number: int, title: str, role: str, name: str, way: str) -> list[str]:
    who = bare(name) if name else _ROLES.get(role, role)
    return [
        f"Extra work {number_words(number)}: {_short(title)}.",
        f"Granted by {who}, {_WAYS[way]}.",
        fixed(Sentence.SAY_CONFIRMED),
    ]


def work_granted(number: int) -> str:
    return f"Extra work {number_words(number)} is granted."


def granted_elsewhere(number: int, step: StepAt, *, stops: bool) -> str:
    said = f"It stands behind {step_name(step)}. To do it now, say start extra work {number_words(number)}."
    return f"{said} The job stops behind it." if stops else said


def granted_no_steps(number: int) -> str:
    said = number_words(number)
    return f"Say start extra work {said}, and then extra work {said} is done."


def takes_minutes(number: int, minutes: Decimal) -> str:
    return f"Extra work {number_words(number)} takes about {plural(minutes, 'minute', 'minutes')}."


def clock_runs(number: int) -> list[str]:
    said = number_words(number)
    return [f"The time of extra work {said} runs.", f"Say extra work {said} is done, or back to the job."]


def clock_stands(number: int) -> str:
    return f"The time of extra work {number_words(number)} is stopped."


def not_clocked() -> str:
    return "No extra work was begun. Say start extra work and the number."


def decline_ask(number: int, title: str) -> list[str]:
    return [f"Extra work {number_words(number)}: {_short(title)}.", "Declined?", fixed(Sentence.SAY_CONFIRMED)]


def done_ask(number: int, title: str) -> list[str]:
    return [f"Extra work {number_words(number)}: {_short(title)}.", "Done?", fixed(Sentence.SAY_CONFIRMED)]


def work_done(number: int) -> str:
    return f"Extra work {number_words(number)} is done."


def no_extra() -> str:
    return "There is no such extra work. Say what extra work."


def which(numbers: Sequence[int]) -> str:
    said = [number_words(number) for number in numbers[:4]]
    return f"Which one? Extra work {', '.join(said[:-1])} or {said[-1]}."


def not_granted() -> str:
    return "It is not granted. Only granted work opens."


def no_steps() -> str:
    return "It has no steps here. When it is done, say so with its number."


def has_steps() -> str:
    return "It has steps. Say start extra work."


_STANDS = {
    "asked": "waits for an answer",
    "granted": "granted",
    "declined": "declined",
    "done": "done",
    "advised": "advice only",
}


def work_stands(number: int, title: str, how: str, *, corrected: bool = False) -> str:
    again = ", corrected" if corrected else ""
    return f"Extra work {number_words(number)}{again}, {_short(title)}: {_STANDS[how]}."


def none() -> str:
    return "There is no extra work."


# Findings

_SEVERITIES = {
    "before_running": "Before it runs.",
    "next_service": "At the next service.",
    "watch": "Only to be watched.",
}


def finding_ask() -> str:
    return "How bad? Say before it runs, next service, or only watch it."


def finding_at(step: StepAt | None) -> str:
    return f"At {step_name(step)}." if step is not None else "At no step."


def no_such_step() -> str:
    return "There is no step with that number."


def finding_read(text: str, step: StepAt | None, severity: str) -> list[str]:
    place = [finding_at(step)] if step is not None else []
    return [f"Finding: {short(text, WHOLE)}.", *place, _SEVERITIES[severity], fixed(Sentence.SAY_CONFIRMED)]


def finding_kept(number: int, *, silent: bool, severity: str) -> list[str]:
    kept = [f"Kept as extra work {number_words(number)}."]
    if silent:
        return ["Nobody said how bad it is.", *kept, "I take it as before it runs."]
    return [*kept, *_asks(severity)]


def finding_corrected(number: int, *, severity: str) -> list[str]:
    return [f"Extra work {number_words(number)} is corrected.", *_asks(severity)]


def finding_shown(number: int, text: str, *, corrected: bool) -> str:
    return f"Extra work {number_words(number)}{', corrected' if corrected else ''}: {text}"


def _asks(severity: str) -> list[str]:
    return ["It waits for an answer."] if severity == "before_running" else []


# What is open


def open_asked(number: int, title: str) -> str:
    return f"extra work {number_words(number)} waits for an answer: {_short(title)}"


def open_granted(number: int, title: str) -> str:
    return f"extra work {number_words(number)} is granted and not done: {_short(title)}"


def open_before_running(number: int, title: str) -> str:
    return f"extra work {number_words(number)} is to be done before it runs: {_short(title)}"


def _short(title: str) -> str:
    name = short(title, _WORDS)
    return name[:1].lower() + name[1:]
