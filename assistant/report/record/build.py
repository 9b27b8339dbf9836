"""From the entries of a job to its record: a pure function. What was not done or not confirmed is shown as such."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.journal.port import Entry
from assistant.procedure.format.reader import read_kept
from assistant.procedure.model import Procedure, Step
from assistant.report.record.added import added_lines, meter_words, with_corrections
from assistant.report.record.bolts import fasteners, tightenings
from assistant.report.record.model import (
    Card,
    Deviation,
    EntryLine,
    How,
    JobRecord,
    Note,
    Open,
    StepLine,
    Trust,
)
from assistant.report.record.open import open_items
from assistant.report.record.prepare import acknowledged_hazards, preparation_rows
from assistant.report.record.things import supplies, timers, tools
from assistant.report.record.times import gaps_of, seconds_by_step, worked_seconds
from assistant.report.record.words import describe, deviation_words, heard_words, is_sound
from assistant.session import INPUT_KINDS
from assistant.session.handover import names_in
from assistant.session.places import StepPlace, places_of

_TURNS = ("paused", "carried_on", "closed")


def build_record(job: str, entries: Sequence[Entry], *, damage: str = "") -> JobRecord:
    """Return the record of ``job`` from its ``entries`` (at least one); ``damage`` says why there are no more."""
    opened = entries[0].data
    procedure = procedure_of(opened)
    how = hows(entries)
    every, entries = entries, [entry for entry in entries if is_sound(entry.kind, entry.data)]
    odd = [entry for entry in every if not is_sound(entry.kind, entry.data)]
    gaps = gaps_of(entries)
    steps = with_corrections(_steps(procedure, entries, how), entries)
    bolts = tightenings(procedure, entries, how)
    groups = fasteners(procedure, entries)
    stopwatches = timers(procedure, entries)
    preparation = preparation_rows(procedure, entries, how)
    return JobRecord(
        card=_card(job, entries, procedure),
        trust=Trust(len(every), every[-1].hash, str(opened.get("procedure_sha256", "")), damage),
        open=(
            *(Open(f"entry {entry.seq} ({entry.kind}) is not as this version writes it") for entry in odd),
            *open_items(
                procedure, entries, preparation=preparation, steps=steps, bolts=bolts, groups=groups,
                stopwatches=stopwatches,
            ),
        ),
        preparation=preparation,
        steps=steps,
        tightenings=bolts,
        fasteners=groups,
        supplies=supplies(procedure, entries),
        tools=tools(procedure, entries),
        timers=stopwatches,
        notes=_notes(entries),
        deviations=_deviations(entries, how),
        corrections=added_lines(entries, how),
        gaps=gaps,
        unclear=sum(entry.kind == "unclear" for entry in entries),
        entries=tuple(
            EntryLine(
                entry.seq,
                entry.at_ms,
                entry.kind,
                str(entry.data.get("step") or ""),
                describe(entry.kind, entry.data),
                how[entry.seq],
                entry.hash,
                _data(entry),
            )
            for entry in every
        ),
    )  # fmt: skip


def _data(entry: Entry) -> dict[str, Any]:
    """Return the values of an entry; the files in the first one are named by their hash alone."""
    return {key: value for key, value in entry.data.items() if key not in ("procedure_yaml", "tools_yaml")}


def procedure_of(opened: Mapping[str, Any]) -> Procedure | None:
    """Return the job's own copy of the procedure; None when there is none, or it cannot be read any more."""
    text = str(opened.get("procedure_yaml", ""))
    return read_kept(text.encode(), str(opened.get("procedure_file", ""))).procedure if text else None


def hows(entries: Sequence[Entry]) -> dict[int, How]:
    """Return by number of entry how it came about: the input that it followed from, and what that was."""
    found: dict[int, How] = {}
    cause = How("")
    at_ms = 0
    for entry in entries:
        data = entry.data
        if entry.kind in INPUT_KINDS:
            cause = _how(entry)
            at_ms = entry.at_ms
            found[entry.seq] = cause
        elif data.get("by") in ("clock", "") and cause.by != "clock":
            found[entry.seq] = How("clock")  # a timer that ran out in the moment in which something was said
        elif "by" in data and entry.at_ms == at_ms:
            found[entry.seq] = cause
        else:
            found[entry.seq] = How(str(data.get("by", "")))
    return found


def _how(entry: Entry) -> How:
    if entry.kind not in ("heard", "unclear"):
        return How("clock" if entry.kind == "clock" else "")
    source = str(entry.data.get("source", "voice"))
    return How(
        source, str(entry.data.get("text", "")), str(entry.data.get("confidence", "")) if source == "voice" else ""
    )


def _state(entries: Sequence[Entry]) -> str:
    turn = next((entry.kind for entry in reversed(entries) if entry.kind in _TURNS), "")
    return {"closed": "closed", "paused": "paused"}.get(turn, "open")


def operators(entries: Sequence[Entry]) -> tuple[str, ...]:
    """Return who worked on the job, in order: those of the job card, and who took it over."""
    names = names_in(str(entries[0].data.get("operator", "")))
    names += [str(entry.data["taken_by"]) for entry in entries if "taken_by" in entry.data]
    return tuple(dict.fromkeys(name for name in names if name))


def _card(job: str, entries: Sequence[Entry], procedure: Procedure | None) -> Card:
    opened = entries[0].data
    state = _state(entries)
    ended = next((entry.at_ms for entry in reversed(entries) if entry.kind == "closed"), None)
    approval = ""
    if procedure is not None:
        by = procedure.approval
        approval = f"approved by {by.by} on {by.on}" if by and procedure.approved else "NOT APPROVED"
        if by and not procedure.approved:
            approval = f"NOT APPROVED: changed since {by.by} approved it on {by.on}"
    return Card(
        job=job,
        state=state,
        asset=str(opened.get("asset", "")),
        meter=meter_words(entries),
        customer=str(opened.get("customer", "")),
        operators=operators(entries),
        title=str(opened.get("title", "")),
        procedure=str(opened.get("procedure_id", "")),
        revision=str(opened.get("procedure_revision", "")),
        approval=approval or "unknown: the procedure in the journal cannot be read by this version",
        source=procedure.source if procedure else "",
        machine=procedure.machine if procedure else "",
        values=procedure.values if procedure else "",
        opened_ms=entries[0].at_ms,
        ended_ms=ended if state == "closed" else None,
        worked_seconds=worked_seconds(entries),
        book_seconds=procedure.book_time if procedure else None,
        rehearsal=opened.get("rehearsal") is True,
        program=str(opened.get("version", "")),
    )


_RESULTS = ("check_answered", "reading", "counted", "part_fitted")


def _steps(procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[StepLine, ...]:
    by_step: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.data.get("step"):
            by_step.setdefault(str(entry.data["step"]), []).append(entry)
    took = seconds_by_step(entries)
    acknowledged = acknowledged_hazards(entries)
    rows: list[StepLine] = []
    if procedure is None:
        return tuple(
            _step(Step(name, ""), "", str(number), by_step[name], how, acknowledged, took)
            for number, name in enumerate(by_step, 1)
        )
    chapter = ""
    for place in places_of(procedure):
        if not isinstance(place, StepPlace):
            continue
        chapter = "Closing" if place.closing else place.chapter or chapter
        number = f"C{place.number}" if place.closing else str(place.number)
        rows.append(_step(place.step, chapter, number, by_step.get(place.step.id, []), how, acknowledged, took))
    return tuple(rows)


def _step(
    step: Step,
    chapter: str,
    number: str,
    entries: Sequence[Entry],
    how: Mapping[int, How],
    acknowledged: Mapping[tuple[str, int], Entry],
    took: Mapping[str, int],
) -> StepLine:
    done = [entry for entry in entries if entry.kind == "step_done"]
    out = [entry for entry in entries if entry.kind == "skipped" and entry.data.get("what") == "step"]
    deviations = [entry for entry in entries if entry.kind == "deviation"]
    last = done[-1] if done else out[-1] if out else None
    status = "not done" if last is None else "left out" if not done else "deviation" if _deviates(entries) else "done"
    results = [describe(entry.kind, entry.data) for entry in entries if entry.kind in _RESULTS]
    results += [describe(entry.kind, entry.data) for entry in (*deviations, *([] if done else out))]
    hazards = []
    for place, hazard in enumerate(step.hazards, 1):
        read = acknowledged.get((step.id, place))
        words = f"acknowledged{heard_words(read.data)}" if read else "NOT ACKNOWLEDGED"
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


def _deviates(entries: Sequence[Entry]) -> bool:
    """Return whether a step was done otherwise than it should be, as its last answer has it."""
    answers = [entry for entry in entries if entry.kind in _RESULTS]
    kept = {"wait", "open_time", "bolt_reading"}
    left = any(entry.kind == "stage_done" and entry.data.get("not_tightened") for entry in entries)
    off = any(entry.kind == "deviation" and entry.data.get("what") in kept for entry in entries)
    wrong = bool(answers) and any(answers[-1].data.get(key) is False for key in ("matches", "as_expected", "in_limits"))
    return left or off or wrong


def _by(how: How) -> str:
    return f" ({how.by} {how.confidence})".replace(" )", ")")


def _notes(entries: Sequence[Entry]) -> tuple[Note, ...]:
    return tuple(
        Note(
            entry.seq,
            entry.at_ms,
            entry.kind,
            str(entry.data.get("step") or ""),
            str(entry.data.get("text", "")),
            entry.data.get("complete") is not False,
        )
        for entry in entries
        if entry.kind in ("note", "problem")
    )


def _deviations(entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[Deviation, ...]:
    found: list[Deviation] = []
    who = next(iter(names_in(str(entries[0].data.get("operator", "")))), "")
    for entry in entries:
        who = str(entry.data.get("taken_by", who))
        if entry.kind == "deviation":
            what = deviation_words(entry.data)
        elif entry.kind == "skipped":
            what = describe(entry.kind, {**entry.data, "reason": ""}).removesuffix(": ").replace(": ;", ";")
        else:
            continue
        step = str(entry.data.get("step") or entry.data.get("place") or "")
        reason = str(entry.data.get("reason", ""))
        found.append(
            Deviation(entry.seq, entry.at_ms, step, what, reason, who or "name not given", how[entry.seq])
        )  # fmt: skip
    return tuple(found)
