"""From the entries of a job to its record: a pure function. What was not done or not confirmed is shown as such."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.events import Source
from assistant.facts import Fact, Unreadable, dump
from assistant.facts.asking import Deviated, DeviationWhat, Skipped, SkippedWhat
from assistant.facts.going import CarriedOn, Closed, HazardAcknowledged, Paused
from assistant.facts.inputs import NotUnderstood, Opened, TimeCame, Understood, Utterance
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.facts.photos import PhotoCame
from assistant.facts.second import GateHeld, GateReleased, NotWitnessed, Witnessed
from assistant.facts.steps import StepAnswer, StepDone
from assistant.journal.port import Entry, JobState
from assistant.procedure.format.reader import read_kept
from assistant.procedure.model import Procedure, Step
from assistant.report.record import (  # noqa: F401 (each adds its printers)
    kinds,
    words_of_bay,
    words_of_extra,
    words_of_questions,
    words_of_scans,
    words_of_second,
    words_of_steps,
    words_of_taking_back,
)
from assistant.report.record.added import added_lines, meter_words, with_corrections
from assistant.report.record.clock import clock_lines, clocks_of
from assistant.report.record.extra import belongs, branches_taken, extra_left, extra_rows
from assistant.report.record.led import led_and_done, with_led
from assistant.report.record.model import (
    Card,
    Deviation,
    EntryLine,
    How,
    JobRecord,
    Open,
    StepLine,
    StepStatus,
    Trust,
)
from assistant.report.record.notes import notes_that_count
from assistant.report.record.open import open_things
from assistant.report.record.part import record_kinds
from assistant.report.record.photos import BESIDE_STEP, SOURCES, photo_lines
from assistant.report.record.prepare import acknowledged_hazards, preparation_rows
from assistant.report.record.printing import Names, describe
from assistant.report.record.standing import what_stands
from assistant.report.record.things import supplies, timers, tools
from assistant.report.record.times import gaps_of, seconds_by_step, worked_seconds
from assistant.report.record.values import place_named, step_of
from assistant.report.record.words import deviation_words, far_words, heard_in_words, skipped_words
from assistant.report.record.words_of_detours import course_of
from assistant.report.record.words_of_second import released_by
from assistant.report.record.words_of_withdrawn import gone_clause
from assistant.session.places import StepPlace, places_of


def build_record(job: str, entries: Sequence[Entry], *, damage: str = "") -> JobRecord:
    """Return the record of ``job`` from its ``entries`` (at least one); ``damage`` says why there are no more."""
    opened = opening_of(entries)
    procedure = procedure_of(opened)
    names = Names(procedure)
    how = hows(entries, names)
    gaps = gaps_of(entries)
    stands = what_stands(entries)
    steps = with_corrections(_steps(names, stands, how), entries)
    led = led_and_done(names, stands, steps)
    steps = with_led(steps, led)
    extra = extra_rows(names, entries, how, steps)
    bolts = tuple(row for kind in record_kinds() for row in kind.tightenings(procedure, entries, how))
    groups = tuple(row for kind in record_kinds() for row in kind.fasteners(procedure, stands))
    stopwatches = timers(procedure, entries)
    preparation = preparation_rows(names, stands, how)
    return JobRecord(
        card=_card(job, entries, procedure),
        trust=Trust(len(entries), entries[-1].hash, opened.procedure_sha256 if opened else "", damage),
        open=(
            *(
                Open(f"entry {entry.seq} ({entry.kind}) cannot be read: {entry.fact.why}")
                for entry in entries
                if isinstance(entry.fact, Unreadable)
            ),
            *open_things(
                names, stands, preparation=preparation, steps=steps, bolts=bolts, groups=groups,
                stopwatches=stopwatches, put_right=led,
            ),
            *extra_left(extra),
        ),
        preparation=preparation,
        steps=steps,
        tightenings=bolts,
        readings=tuple(row for kind in record_kinds() for row in kind.readings(procedure, stands, how)),
        fasteners=groups,
        troubles=tuple(row for kind in record_kinds() for row in kind.troubles(procedure, entries, how)),
        supplies=supplies(procedure, stands),
        tools=tools(procedure, entries),
        timers=stopwatches,
        notes=notes_that_count(entries),
        extra=extra,
        photos=photo_lines(entries, how),
        deviations=_deviations(names, stands, how),
        corrections=added_lines(names, entries, how),
        course=course_of(names, entries, how),
        gaps=gaps,
        hours=clock_lines(clocks_of(procedure, entries)),
        unclear=sum(isinstance(entry.fact, NotUnderstood) for entry in entries),
        entries=tuple(
            EntryLine(
                entry.seq,
                entry.at_ms,
                entry.kind,
                step_of(entry.fact),
                describe(entry.fact, names),
                how[entry.seq],
                entry.hash,
                _data(entry),
            )
            for entry in entries
        ),
    )  # fmt: skip


def _data(entry: Entry) -> dict[str, Any]:
    """Return the fields of an entry; the files in it are named by their hash alone."""
    if isinstance(entry.fact, Unreadable):
        return dict(entry.data)
    fields = dump(entry.fact)[2]
    fields.pop("procedure_yaml", None)
    if isinstance(kept := fields.get("tools"), dict):
        kept.pop("yaml", None)
    return fields


def opening_of(entries: Sequence[Entry]) -> Opened | None:
    """Return the first fact of a job; None when it cannot be read any more."""
    return entries[0].fact if isinstance(entries[0].fact, Opened) else None


def procedure_of(opened: Opened | None) -> Procedure | None:
    """Return the job's own copy of the procedure; None when there is none, or it cannot be read any more."""
    if opened is None or not opened.procedure_yaml:
        return None
    return read_kept(opened.procedure_yaml.encode(), opened.procedure_file).procedure


def hows(entries: Sequence[Entry], names: Names) -> dict[int, How]:
    """Return by number of entry how it came about: the input that caused it, and what that was."""
    inputs = {entry.seq: _how(entry.fact, names) for entry in entries if entry.fact.IS_INPUT}
    return {entry.seq: inputs.get(entry.seq) or inputs.get(entry.cause) or How("") for entry in entries}


def _how(fact: Fact, names: Names) -> How:
    if isinstance(fact, PhotoCame):
        return How(SOURCES[fact.source])
    if not isinstance(fact, Utterance):
        return How("clock" if isinstance(fact, TimeCame) else "")
    heard = heard_in_words(fact, names) if isinstance(fact, Understood) else getattr(fact, "text", "")
    return How(fact.source.value, heard, str(fact.confidence) if fact.source is Source.VOICE else "")


def _state(entries: Sequence[Entry]) -> JobState:
    for entry in reversed(entries):
        match entry.fact:
            case Closed():
                return JobState.CLOSED
            case Paused():
                return JobState.PAUSED
            case CarriedOn():
                return JobState.OPEN
    return JobState.OPEN


def operators(entries: Sequence[Entry]) -> tuple[str, ...]:
    """Return who worked on the job, in order: those of the job card, and who took it over."""
    names: list[str] = []
    for entry in entries:
        match entry.fact:
            case OperatorsNamed(names=named):
                names += [name.strip() for name in named.split(",")]
            case HandedOver(taken_by=name):
                names.append(name)
    return tuple(dict.fromkeys(name for name in names if name))


def _card(job: str, entries: Sequence[Entry], procedure: Procedure | None) -> Card:
    opened = opening_of(entries)
    state = _state(entries)
    ended = next((entry.at_ms for entry in reversed(entries) if isinstance(entry.fact, Closed)), None)
    approval = ""
    if procedure is not None:
        by = procedure.approval
        approval = f"approved by {by.by} on {by.on}" if by and procedure.approved else "NOT APPROVED"
        if by and not procedure.approved:
            approval = f"NOT APPROVED: changed since {by.by} approved it on {by.on}"
    return Card(
        job=job,
        state=state,
        asset=opened.asset if opened else "",
        meter=meter_words(entries),
        customer=opened.customer if opened else "",
        operators=operators(entries),
        title=opened.title if opened else "",
        procedure=opened.procedure_id if opened else "",
        revision=opened.procedure_revision if opened else "",
        approval=(approval or "unknown: the procedure in the journal cannot be read by this version")
        + gone_clause(entries),
        source=procedure.source if procedure else "",
        machine=procedure.machine if procedure else "",
        values=procedure.values if procedure else "",
        opened_ms=entries[0].at_ms,
        ended_ms=ended if state is JobState.CLOSED else None,
        worked_seconds=worked_seconds(entries),
        book_seconds=procedure.book_time if procedure else None,
        rehearsal=opened is not None and opened.rehearsal,
        program=opened.program if opened else "",
    )


def _steps(names: Names, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[StepLine, ...]:
    by_step: dict[str, list[Entry]] = {}
    for entry in entries:
        if step := step_of(entry.fact):
            by_step.setdefault(step, []).append(entry)
    took = seconds_by_step(entries)
    acknowledged = acknowledged_hazards(entries)
    if names.procedure is None:
        return tuple(
            _step(Step(name, ""), "", str(number), by_step[name], how, acknowledged, took, names)
            for number, name in enumerate(by_step, 1)
        )
    rows: list[StepLine] = []
    chapter = ""
    numbers: dict[str, str] = {}
    taken = branches_taken(entries)
    for place in places_of(names.procedure):
        if not isinstance(place, StepPlace) or not (belongs(place, taken) or place.key in by_step):
            continue
        chapter = "Closing" if place.closing else place.chapter or chapter
        number = f"C{place.number}" if place.closing and not place.behind else str(place.number)
        if place.within:
            number = f"{numbers.get(place.within[-1].rpartition(':')[0], '')}.{number}"
        numbers[place.key] = number
        mine = by_step.get(place.step.id, [])
        rows.append(_step(place.step, chapter, number, mine, how, acknowledged, took, names))
    return tuple(rows)


def _step(
    step: Step,
    chapter: str,
    number: str,
    entries: Sequence[Entry],
    how: Mapping[int, How],
    acknowledged: Mapping[tuple[str, int], Entry],
    took: Mapping[str, int],
    names: Names,
) -> StepLine:
    done = [entry for entry in entries if isinstance(entry.fact, StepDone)]
    out = [entry for entry in entries if isinstance(entry.fact, Skipped) and entry.fact.what is SkippedWhat.STEP]
    last = done[-1] if done else out[-1] if out else None
    if last is None:
        status = StepStatus.NOT_DONE
    elif not done:
        status = StepStatus.LEFT_OUT
    else:
        status = StepStatus.DEVIATION if _deviates(entries) else StepStatus.DONE
    beside = tuple(cls for kind in record_kinds() for cls in kind.beside)
    results = [describe(entry.fact, names) for entry in entries if isinstance(entry.fact, StepAnswer)]
    results += [describe(entry.fact, names) for entry in entries if isinstance(entry.fact, beside)]
    results += [describe(entry.fact, names) for entry in entries if isinstance(entry.fact, Deviated)]
    results += [describe(entry.fact, names) for entry in entries if isinstance(entry.fact, (*_SECOND, *BESIDE_STEP))]
    results += [] if done else [describe(entry.fact, names) for entry in out]
    hazards = []
    for place, hazard in enumerate(step.hazards, 1):
        read = acknowledged.get((step.id, place))
        far = far_words(read.fact) if read and isinstance(read.fact, HazardAcknowledged) else ""
        words = f"acknowledged{far}" if read else "NOT ACKNOWLEDGED"
        hazards.append(f"{hazard.word.value.upper()}: {hazard.hazard} {words}{_by(how[read.seq]) if read else ''}")
    return StepLine(
        step.id,
        chapter,
        number,
        step.text or step.id,
        status,
        last.seq if last else None,
        last.at_ms if last else None,
        how[last.seq] if last else None,
        tuple(results),
        tuple(hazards),
        len(done),
        took.get(step.id) if done else None,
        round(step.minutes * 60) if step.minutes is not None else None,
    )


_SECOND = (GateHeld, GateReleased, Witnessed, NotWitnessed)
"""What a gate, or a second person, has to do with a step."""


def _deviates(entries: Sequence[Entry]) -> bool:
    """Return whether a step was done otherwise than it should be, as its last answer has it."""
    kept = (DeviationWhat.WAIT, DeviationWhat.OPEN_TIME, DeviationWhat.BOLT_READING)
    facts = [entry.fact for entry in entries]
    left = any(kind.falls_short(fact) for kind in record_kinds() for fact in facts)
    off = any(isinstance(fact, Deviated) and fact.what in kept for fact in facts)
    answers = [fact for fact in facts if isinstance(fact, StepAnswer)]
    return left or off or (bool(answers) and not answers[-1].is_right)


def _by(how: How) -> str:
    return f" ({how.by} {how.confidence})".replace(" )", ")")


def _deviations(names: Names, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[Deviation, ...]:
    found: list[Deviation] = []
    who = next(iter(operators(entries)), "")
    released: dict[int, str] = {}
    for entry in entries:
        match entry.fact:
            case HandedOver(taken_by=who):
                continue
            case GateReleased() as gate:
                released[entry.cause] = f"; released by {released_by(gate)}"
                continue
            case Deviated() as fact:
                what = deviation_words(fact, names)
            case Skipped() as fact:
                what = skipped_words(fact, names)
            case fact:
                own = next((said for kind in record_kinds() if (said := kind.excused(fact, names))), None)
                if own is not None:
                    by = who or "name not given"
                    found.append(Deviation(entry.seq, entry.at_ms, step_of(fact), *own, by, how[entry.seq]))
                continue
        by = (who or "name not given") + released.get(entry.cause, "")
        found.append(Deviation(entry.seq, entry.at_ms, place_named(fact), what, fact.reason, by, how[entry.seq]))
    return tuple(found)
