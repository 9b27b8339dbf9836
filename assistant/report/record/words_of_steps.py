"""The words of facts about steps and timers."""

from __future__ import annotations

from assistant.facts import steps
from assistant.facts.kinds import check, count, counting, fit
from assistant.report.record.printing import Names, prints
from assistant.report.record.values import limits_words

_AGAIN = {True: " (again)", False: ""}


@prints(steps.StepDone)
def _done(fact: steps.StepDone, _: Names) -> str:
    return f"done{_AGAIN[fact.repeated]}"


@prints(check.CheckAnswered)
def _answered(fact: check.CheckAnswered, _: Names) -> str:
    yes, expected = ("yes" if one else "no" for one in (fact.yes, fact.expected))
    return f"answered {yes}{'' if fact.is_right else f', EXPECTED {expected}'}{_AGAIN[fact.repeated]}"


@prints(check.ReadOff)
def _read_off(fact: check.ReadOff, _: Names) -> str:
    limits = limits_words(fact.limits, fact.unit) or "none"
    off = "" if fact.is_right else ": OUT OF LIMITS"
    return f"read {fact.value} {fact.unit} (limits {limits}){off}{_AGAIN[fact.repeated]}"


@prints(counting.Miscounted)
def _miscounted(fact: counting.Miscounted, _: Names) -> str:
    return f"counted {fact.count}, which does not match"


@prints(count.Counted)
def _counted(fact: count.Counted, _: Names) -> str:
    end = "" if fact.is_right else ": DOES NOT MATCH"
    return f"{fact.group} counted {fact.direction}: {fact.count} of {fact.expected}{end}{_AGAIN[fact.repeated]}"


@prints(fit.PartFitted)
def _fitted(fact: fit.PartFitted, _: Names) -> str:
    end = "" if fact.is_right else ": DOES NOT MATCH"
    return f"{fact.spare} fitted: {fact.count} of {fact.expected}{end}{_AGAIN[fact.repeated]}"


@prints(steps.TimerStarted)
def _started(fact: steps.TimerStarted, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} started for {fact.seconds} s{_AGAIN[fact.repeated]}"


@prints(steps.TimerWarned)
def _warned(fact: steps.TimerWarned, names: Names) -> str:
    return f"timer {names.timer(fact.timer)}: {fact.seconds_left} s left"


@prints(steps.TimerEnded)
def _ended(fact: steps.TimerEnded, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} ended"


@prints(steps.TimersDoubted)
def _doubted(fact: steps.TimersDoubted, names: Names) -> str:
    return f"to be asked about: timer {', '.join(names.timer(one) for one in fact.timers)}"


@prints(steps.TimerAgreed)
def _agreed(fact: steps.TimerAgreed, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} is right all the same, {fact.seconds_left} s left"


@prints(steps.TimerStopped)
def _stopped(fact: steps.TimerStopped, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} stopped {'by leaving steps out' if fact.left_out else 'in time'}"


@prints(steps.TimerRunsOn)
def _runs_on(fact: steps.TimerRunsOn, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} runs on: a step that was left out is done after all"
