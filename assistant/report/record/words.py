"""The words of facts about the job, its steps and its people."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.facts import asking, correcting, going, inputs, people
from assistant.facts.asking_back import AnsweredBack, AskedBack
from assistant.report.record.printing import AGAIN, Names, asked_words, prints
from assistant.report.record.values import amount_text, numbers


@prints(inputs.Opened)
def _opened(fact: inputs.Opened, _: Names) -> str:
    parts = [f"job opened: {fact.title}, revision {fact.procedure_revision}"]
    told = {"asset": fact.asset, "customer": fact.customer, "operator": fact.operator, "meter": amount_text(fact.meter)}
    told |= {"meter note": fact.meter_note, "tools file": fact.tools.name if fact.tools else ""}
    parts += [f"{key} {value}" for key, value in told.items() if value]
    parts += ["a rehearsal"] if fact.rehearsal else []
    return "; ".join([*parts, "sound is kept"] if fact.keep_audio else parts)


@prints(inputs.Resumed)
def _resumed(fact: inputs.Resumed, _: Names) -> str:
    return f"job taken up again{f' by {fact.operator}' if fact.operator else ''}"


@prints(inputs.UnderstoodAlike)
@prints(inputs.UnderstoodOf)
@prints(inputs.Understood)
def _understood(fact: inputs.Understood, names: Names) -> str:
    heard = f"heard: {heard_in_words(fact, names)}"
    if isinstance(fact, inputs.UnderstoodAlike):
        heard += f" (sounds like {', '.join(map(names.language.numbers.heard_words, fact.alike))})"
    return heard


def heard_in_words(fact: inputs.Understood, names: Names) -> str:
    """Return what was understood, as it is said, with its number or name, or the words that were dictated."""
    inside = "" if fact.number is None else names.language.numbers.heard_words(fact.number)
    if isinstance(fact, inputs.UnderstoodOf):
        inside = fact.name or inside
    said = names.said(fact.intent)
    said = said.replace("{}", inside) if "{}" in said else f"{said} {inside}"
    return " ".join(f"{said} {fact.words}".split())


@prints(going.WordsChosen)
def _words_chosen(fact: going.WordsChosen, _: Names) -> str:
    return f"words from now on: {fact.how.value}"


@prints(inputs.NotUnderstood)
def _not_understood(fact: inputs.NotUnderstood, _: Names) -> str:
    return f"not understood: {fact.text} ({fact.why.value.replace('_', ' ')})"


@prints(inputs.UnsureOf)
def _unsure_of(fact: inputs.UnsureOf, _: Names) -> str:
    return f"not heard surely: {fact.intent.replace('_', ' ')}"


@prints(AskedBack)
def _asked_back(fact: AskedBack, _: Names) -> str:
    return f"asked back: {fact.intent.replace('_', ' ')}"


@prints(AnsweredBack)
def _answered_back(fact: AnsweredBack, _: Names) -> str:
    return f"{fact.intent.replace('_', ' ')} was {'' if fact.is_meant else 'not '}meant"


@prints(inputs.TimeCame)
def _time_came(_fact: inputs.TimeCame, _: Names) -> str:
    return "a time came"


@prints(inputs.ClockSet)
def _clock_set(fact: inputs.ClockSet, _: Names) -> str:
    return f"the computer's clock was set {clock_words(fact)}; the job's own time went on"


def clock_words(fact: inputs.ClockSet) -> str:
    """Return by how much the computer's clock was set, for example "on by 3600.0 s"."""
    return f"{'back' if fact.by_ms < 0 else 'on'} by {abs(fact.by_ms) / 1000:.1f} s"


@prints(going.Arrived)
def _arrived(fact: going.Arrived, _: Names) -> str:
    return f"came to {fact.place}"


@prints(going.Moved)
def _moved(fact: going.Moved, _: Names) -> str:
    return f"went to {fact.place}"


@prints(going.UnitChosen)
def _unit(fact: going.UnitChosen, _: Names) -> str:
    return f"unit: {fact.unit}"


@prints(going.Refused)
def _refused(fact: going.Refused, _: Names) -> str:
    return f"nothing came of it: {fact.why.value.replace('_', ' ')}"


@prints(going.Prepared)
def _prepared(fact: going.Prepared, names: Names) -> str:
    missing = "; ".join(names.thing(fact.place, number) for number in fact.missing)
    what = f"{fact.place.partition(':')[0]} confirmed: {'; '.join(names.things(fact.place))}{AGAIN[fact.repeated]}"
    return f"{what}; MISSING: {missing}" if missing else what


@prints(going.ItemMissing)
def _item_missing(fact: going.ItemMissing, names: Names) -> str:
    return f"missing: {names.thing(fact.place, fact.number)}"


@prints(going.ItemFound)
def _item_found(fact: going.ItemFound, names: Names) -> str:
    return f"found: {names.thing(fact.place, fact.number)}"


@prints(going.ThingAsked)
def _thing_asked(fact: going.ThingAsked, names: Names) -> str:
    return f"asked for: {names.thing(fact.place, fact.number)}" if fact.number else f"{fact.place}: as a whole again"


_FAR = {inputs.HeardFar.PART: ", BEFORE IT WAS READ OUT", inputs.HeardFar.AVOID: ", before the end of its reading"}


def far_words(fact: going.HazardAcknowledged) -> str:
    """Return how far a hazard was not heard when it was acknowledged; "" where it was heard."""
    return _FAR.get(fact.heard, "")


@prints(going.HazardAcknowledged)
def _acknowledged(fact: going.HazardAcknowledged, names: Names) -> str:
    return f"{fact.word} acknowledged{far_words(fact)}: {names.hazard(fact.place, fact.number)}"


@prints(going.HazardAgain)
def _again(fact: going.HazardAgain, names: Names) -> str:
    return f"hazard read again, because its reading was cut short: {names.hazard(fact.place, fact.number)}"


@prints(going.HazardCut)
def _cut(fact: going.HazardCut, names: Names) -> str:
    how = "was cut short" if fact.is_cut else "was heard after all"
    return f"the reading of a hazard {how}: {names.hazard(fact.place, fact.number)}"


@prints(going.Paused)
def _paused(_fact: going.Paused, _: Names) -> str:
    return "paused"


@prints(going.CarriedOn)
def _carried_on(_fact: going.CarriedOn, _: Names) -> str:
    return "carried on"


@prints(going.HandingOver)
def _handing_over(_fact: going.HandingOver, _: Names) -> str:
    return "who works on the job leaves it"


@prints(going.Closed)
def _closed(fact: going.Closed, _: Names) -> str:
    things = [f"{len(found)} {words}" for name, words in _LEFT_OPEN.items() if (found := getattr(fact, name))]
    reason = f" (reason: {fact.reason})" if fact.reason else ""
    return f"job closed; left open: {', '.join(things)}{reason}" if things else "job closed; nothing was left open"


_LEFT_OPEN = {
    "open_problems": "problems",
    "open_counts": "counts that do not agree",
    "open_values": "values out of limits",
    "open_bolts": "bolts out of limits",
    "open_answers": "answers that should be others",
    "open_steps": "steps not done",
    "open_stages": "stages not tightened",
    "open_parts": "new parts not answered for",
    "left_out": "left out",
}


@prints(people.HandedOver)
def _handed_over(fact: people.HandedOver, _: Names) -> str:
    return f"{fact.taken_by or 'name not given'} takes over from {fact.left_by or 'name not given'}"


@prints(people.OperatorsNamed)
def _operators(fact: people.OperatorsNamed, _: Names) -> str:
    return f"works on it: {fact.names}"


@prints(people.HelperCame)
def _helps(fact: people.HelperCame, _: Names) -> str:
    return f"{fact.name or 'somebody, not named,'} helps from now on"


@prints(people.HelperLeft)
def _helps_no_more(fact: people.HelperLeft, _: Names) -> str:
    return f"{fact.name or 'somebody, not named,'} helps no more"


@prints(people.HelperAsBefore)
def _helper_as_before(fact: people.HelperAsBefore, _: Names) -> str:
    helps = fact.was is not None and fact.was.since_ms > 0
    return f"{fact.name or 'somebody, not named,'} {'helps as before' if helps else 'does not help, as before'}"


@prints(people.Noted)
def _noted(fact: people.Noted, _: Names) -> str:
    return f"note: {fact.text}{_ENDED[fact.complete]}"


@prints(correcting.CorrectionBegun)
def _correction(fact: correcting.CorrectionBegun, _: Names) -> str:
    return f"{fact.what.value} {fact.note or ''}".rstrip() + ": to be said again"


@prints(correcting.NoteCorrected)
def _note_corrected(fact: correcting.NoteCorrected, _: Names) -> str:
    return f"note {fact.note} corrected: {fact.text}{_ENDED[fact.complete]}"


@prints(correcting.NoteAsBefore)
def _note_as_before(fact: correcting.NoteAsBefore, _: Names) -> str:
    return f"note {fact.note} as before: {fact.text}"


@prints(people.ProblemNoted)
def _problem(fact: people.ProblemNoted, _: Names) -> str:
    return f"problem: {fact.text}{_ENDED[fact.complete]}"


_ENDED = {True: "", False: " (not to its end)"}


@prints(asking.Asked)
def _asked(fact: asking.Asked, names: Names) -> str:
    return f"asked: {asked_words(fact.question, names)}{f', because: {fact.reason}' if fact.reason else ''}"


@prints(asking.AskedOn)
def _asked_on(_fact: asking.AskedOn, _: Names) -> str:
    return "it still waits to be confirmed"


@prints(asking.Granted)
def _granted(fact: asking.Granted, _: Names) -> str:
    return f"confirmed: {fact.what.replace('_', ' ')}"


@prints(asking.Cancelled)
def _cancelled(fact: asking.Cancelled, _: Names) -> str:
    return f"cancelled ({fact.why.value}): {fact.what.replace('_', ' ')}"


@prints(asking.DictationBegun)
def _dictation(fact: asking.DictationBegun, names: Names) -> str:
    about = f" for: {asked_words(fact.question, names)}" if fact.question else ""
    return f"taking down a {fact.what.value}{about}"


@prints(asking.WordsTaken)
def _words(fact: asking.WordsTaken, _: Names) -> str:
    return f"taken down: {fact.text or 'nothing more'}{' (not all of it fitted)' if fact.is_cut else ''}"


@prints(asking.Skipped)
def _skipped(fact: asking.Skipped, names: Names) -> str:
    unread = f"; hazards not read: {fact.hazards_not_read}" if fact.hazards_not_read else ""
    return f"{skipped_words(fact, names)}: {fact.reason}{unread}"


def skipped_words(fact: asking.Skipped, _: Names) -> str:
    """Return what was left out."""
    if fact.what is asking.SkippedWhat.BOLTS:
        return f"left out {fact.group} {numbers(fact.bolts)} of stage {fact.stage} {fact.place}"
    return f"left out {fact.what.value} {fact.place}"


@prints(asking.Deviated)
def _deviated(fact: asking.Deviated, names: Names) -> str:
    return f"accepted: {deviation_words(fact, names)}: {fact.reason}"


def deviation_words(fact: asking.Deviated, names: Names) -> str:
    """Return what a deviation accepts."""
    return _DEVIATIONS[fact.what](fact, names)


_DEVIATIONS: Mapping[asking.DeviationWhat, Callable[[asking.Deviated, Names], str]] = {
    asking.DeviationWhat.COUNT: lambda fact, _: f"count of {fact.count}",
    asking.DeviationWhat.PART: lambda fact, _: f"{fact.count} new parts",
    asking.DeviationWhat.ANSWER: lambda fact, _: f"answer {'yes' if fact.yes else 'no'}",
    asking.DeviationWhat.READING: lambda fact, _: f"reading {amount_text(fact.reading)} out of limits",
    asking.DeviationWhat.READINGS: lambda fact, _: f"{fact.count} readings of the table out of limits",
    asking.DeviationWhat.AMOUNT: lambda fact, _: f"filled {amount_text(fact.reading)}, out of limits",
    asking.DeviationWhat.MISSING: lambda fact, names: (
        f"begun without {'; '.join(names.thing(card, number) for card, number in fact.things)}"
    ),
    asking.DeviationWhat.BOLT_HELD: lambda fact, _: f"gone on without {fact.group} {numbers(fact.bolts)}",
    asking.DeviationWhat.DROPPED: lambda fact, _: (
        f"gone on with {', '.join(f'no. {number}' for _, number in fact.things)} of what was dropped not found"
    ),
    asking.DeviationWhat.WAIT: lambda fact, names: f"wait {names.timer(fact.timer)} left {fact.seconds_left} s early",
    asking.DeviationWhat.OPEN_TIME: lambda fact, names: f"went on after {names.timer(fact.timer)} was over",
    asking.DeviationWhat.BOLT_READING: lambda fact, _: (
        f"{fact.group} {numbers(fact.bolts)} stage {fact.stage}: {amount_text(fact.reading)} out of limits"
    ),
}
