"""Answers to questions that can be asked anywhere, reminders, and what may have been meant."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal

from assistant.fastening.quantities import Angle, Torque
from assistant.language.en.bolts import target_surely
from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.steps import hazard_to_come
from assistant.language.en.units import bolts_words, duration_words, quantity, torque_words, value_words
from assistant.language.en.words import bare, ear, plural, sentence, stage_name, step_name
from assistant.language.values import StageAt, StepAt

# What was


def torque_was(value: Torque | Angle, setting: Torque | Angle | None, reading: Torque | Angle | None) -> list[str]:
    lines = [f"The last torque: {_small(target_surely(value, at_bolt=setting is not None))}"]
    if isinstance(setting, Torque):
        lines.append(f"The wrench was at {torque_words(setting)}.")
    if reading is not None:
        lines.append(f"The reading was {quantity(reading)}.")
    return lines


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def last_bolts(group: str, bolts: Sequence[int]) -> str:
    return sentence(f"{bare(group)}, {bolts_words(bolts)}" if group else bolts_words(bolts))


def last_place(step: StepAt, stage: StageAt | None) -> str:
    return sentence(f"in {step_name(step)}{'' if stage is None else f', {stage_name(stage)}'}")


def ago(seconds: int) -> str:
    return "Just now." if seconds < 60 else f"About {_length(seconds)} ago."


def _length(seconds: int) -> str:
    """Return about how long something is: minutes, from two hours on hours, from two days on days."""
    for unit, least, one, many in ((86_400, 172_800, "day", "days"), (3600, 7200, "hour", "hours")):
        if seconds >= least:
            return plural(round(seconds / unit), one, many)
    return plural(max(1, round(seconds / 60)), "minute", "minutes")


def no_torque_yet() -> str:
    return "No torque was given in this job yet."


def reading_was(value: Decimal, unit: str, step: StepAt, bolt: int) -> list[str]:
    said = f"the last reading: {value_words(value, unit)}"
    if sounds_alike(value):
        said += f", that is {digit_words(value)}"
    return [sentence(said), sentence(f"{f'{bolts_words([bolt])}, ' if bolt else ''}in {step_name(step)}")]


def not_read_yet() -> str:
    return "That was not read off yet."


def no_reading_yet() -> str:
    return "Nothing was read off in this job yet."


# What comes


def comes(step: StepAt, text: str, hazard: str) -> list[str]:
    return [sentence(step_name(step)), ear(text), f"{hazard_to_come(hazard)}." if hazard else ""]


def comes_thing(text: str) -> str:
    return sentence(text)


def comes_bolts(bolts: Sequence[int], stage: StageAt | None) -> str:
    return sentence(f"{'' if stage is None else f'{stage_name(stage)}: '}{bolts_words(bolts)}")


def comes_end() -> str:
    return "Then the job can be closed."


# Bolts


def of_size(size: str, number: int) -> str:
    return sentence(f"{bare(size)}: {number_words(number)}")


def ask_for_more(number: int) -> str:
    return f"There {'is' if number == 1 else 'are'} {number_words(number)} more: ask again." if number else ""


def no_bolts_in_job() -> str:
    return "There are no bolts in this job."


def bolts_are(group: str, where: str, bolts: Sequence[int]) -> list[str]:
    told = bare(where) if where else "the procedure does not say where"
    return [sentence(f"{bare(group)}: {told}"), sentence(bolts_words(bolts))]


# The time

_HOURS = ("twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")


def time(minute: int) -> str:
    return f"It is {hour_words(minute)}."


def hour_words(minute: int) -> str:
    hour, past = divmod(minute, 60)
    if past == 0:
        return f"{_HOURS[hour % 12]} o'clock"
    to = past > 30
    of, number = _HOURS[(hour + to) % 12], 60 - past if to else past
    words = {15: "quarter", 30: "half"}.get(number) or (
        number_words(number) if number % 5 == 0 else plural(number, "minute", "minutes")
    )
    return f"{words} {'to' if to else 'past'} {of}"


_DAY_MIN = 1440


def done_in(seconds: int, minute: int, days: int, *, at_least: bool) -> list[str]:
    how_long = about_length(seconds)
    first = sentence(f"{'at least' if at_least else 'about'} {how_long}")
    step = 5 if seconds < 3600 else 15
    rounded = round(minute / step) * step
    days += rounded // _DAY_MIN
    if days > 1:
        return [first]
    when = f"{'not before' if at_least else 'at about'} {hour_words(rounded % _DAY_MIN)}"
    return [first, sentence(f"tomorrow, {when}" if days else when)]


def spent(seconds: int, book_seconds: int | None) -> list[str]:
    told = [sentence(f"about {about_length(seconds)} of work, without pauses")]
    if not book_seconds:
        return told
    minutes = book_seconds / 60
    # A book time is a plan of quarters, and a day of it is counted in hours.
    return [
        *told,
        sentence(f"the book says about {about_length(book_seconds) if minutes < 57.5 else _in_quarters(minutes)}"),
    ]


_QUARTERS = ("", " and a quarter", " and a half", " and three quarters")


def about_length(seconds: int) -> str:
    """Return about how long it is: to five minutes, from an hour on to a quarter, from three hours on to the hour."""
    minutes = seconds / 60
    if minutes < 57.5:
        return f"{number_words(max(1, round(minutes / 5)) * 5)} minutes"
    if minutes < 172.5:
        return _in_quarters(minutes)
    if minutes < 2880:
        return f"{number_words(round(minutes / 60))} hours"
    return f"{number_words(round(minutes / _DAY_MIN))} days"


def _in_quarters(minutes: float) -> str:
    hours, quarter = divmod(round(minutes / 15), 4)
    return f"{'an hour' if hours == 1 else f'{number_words(hours)} hours'}{_QUARTERS[quarter]}"


def done_by(own_jobs: int, bay_jobs: int, *, minutes: bool, waits: bool) -> str:
    sources = []
    if own_jobs:
        sources.append(f"from {'your last job' if own_jobs == 1 else f'{number_words(own_jobs)} jobs of yours'}")
    if bay_jobs:
        sources.append(f"from {plural(bay_jobs, 'job', 'jobs')} in this bay")
    if minutes:
        sources.append("from the minutes of the procedure")
    if waits:
        sources.append("with the waits" if sources else "these are the waits")
    return sentence(", ".join(sources)) if sources else ""


def done_without(steps: int) -> str:
    return sentence(f"{plural(steps, 'step has', 'steps have')} no time") if steps else ""


def done_estimated(steps: int) -> str:
    return sentence(f"{plural(steps, 'step is', 'steps are')} estimated") if steps else ""


def done_unknown() -> str:
    return "I cannot say when. No open step has a time."


# Reminders


def reminder_set(minutes: int) -> str:
    said = f"I will remind you in {plural(minutes, 'minute', 'minutes')}."
    return f"{said} {sentence(digit_words(minutes))}" if sounds_alike(minutes) else said


def reminder_left(seconds: int) -> str:
    length = duration_words(seconds if seconds < 120 else -(-seconds // 60) * 60)
    return f"I remind you in {length}."


def reminder_over(minutes: int, step: StepAt | None) -> list[str]:
    lines = [f"A reminder: {plural(minutes, 'minute is', 'minutes are')} over."]
    return lines if step is None else [*lines, f"You asked for it in {step_name(step)}."]


def reminders_dropped(number: int) -> str:
    return (
        "The reminder is dropped."
        if number == 1
        else f"{sentence(number_words(number)).rstrip('.')} reminders are dropped."
    )


# Why


def why_step(text: str) -> str:
    return sentence(text)


def why_hazard(consequence: str) -> str:
    return ear(consequence) if consequence else "A hazard is passed only by your own word."


_WHY_REFUSED: Mapping[str, str] = {
    "past_hazard": "A hazard is passed only by your own word, so that nobody goes on without having heard it.",
    "past_new": "A bolt that is used only once is stretched. An old one in its place can fail.",
    "past_reading": "The reading is out of limits, and only you can say what is to be done about it.",
    "asks": "This step asks for an answer, and the record keeps it.",
    "too_late": "What you answered had ended a moment before, so your word could have been meant for something else.",
    "start_of_job": "There is nothing before this.",
    "done_before": "It stands in the record as done. Leaving it out now would say otherwise.",
    "bolts_done": "All of them have their value in the record.",
    "safety_stays": "The hazards of the whole job are heard by everybody who works on it.",
    "turned": "A further angle counts from where a bolt stands. Turned twice it is stretched too far.",
    "nothing_to_read": "The procedure asks for no value here.",
    "one_reading": "A reading is kept for one bolt, and several are meant at present.",
    "together": "What is turned at the same time is not read off bolt by bolt.",
    "replace_one": "A new bolt begins again with the first stage, so it must be known which one it is.",
    "no_timer_here": "The procedure names no timer in this step.",
    "timer_runs": "Begun again, the timer would end too late.",
    "note_empty": "A note without words would tell nobody anything.",
    "all_done": "No step comes any more. Only closing the job is left.",
}


def why_refused(code: str) -> str:
    return _WHY_REFUSED.get(code, "")


def why_waits() -> str:
    return "It changes the record, and one word can be misheard. So it takes a second one."


def no_why() -> str:
    return "The procedure does not say why."


# What may have been meant


def did_you_mean(phrases: Collection[str]) -> str:
    return f"Did you mean: {', or '.join(phrases)}?"


def was_it(phrase: str) -> str:
    return f"{phrase[:1].upper()}{phrase[1:]}?"


def with_slot(phrase: str) -> str:
    return f"{phrase} and the number" if "{}" not in phrase else phrase.replace("{}", "so many")
