"""What a job leaves open: what was not done, and what went wrong and was not put right, whatever reason was given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from assistant.journal.port import Entry
from assistant.procedure.model import Procedure
from assistant.report.record.bolts import TIGHTENED, Bolt, bolt_keys
from assistant.report.record.model import Fasteners, Open, StepLine, Tightening, TimerLine
from assistant.report.record.values import numbers, printed_value
from assistant.report.record.words import describe

_ANSWERS = {"check_answered": "as_expected", "reading": "in_limits", "part_fitted": "matches"}
"""Kinds of answers, and the field that says whether one is as it should be; counts are told by group."""
CLOSED_OPEN = "closed with open items"
"""Stands for the reason for which a job was closed with all of them."""


def open_items(
    procedure: Procedure | None,
    entries: Sequence[Entry],
    *,
    preparation: Sequence[StepLine],
    steps: Sequence[StepLine],
    bolts: Sequence[Tightening],
    groups: Sequence[Fasteners],
    stopwatches: Sequence[TimerLine],
) -> Iterator[Open]:
    """Yield every open thing of a job, what went wrong first."""
    if procedure is None:
        yield Open("The procedure in the journal cannot be read by this version: what was not done is not known")
    called = {row.id: f"step {row.number}" for row in steps}
    yield from _problems(entries, called)
    yield from (Open(f"{one.group}: {one.result}") for one in groups if one.result != "agrees")
    yield from _off_values(entries)
    yield from _answers(entries, steps)
    yield from _not_done(preparation, steps)
    for one in bolts:
        if one.entry is None:
            yield Open(f"{one.group} {numbers(one.bolts)}, stage {one.stage}: {one.result}", one.step)
    yield from (Open(f"{one.name}: {one.result}") for one in stopwatches if one.result == "still runs")
    closed = next((entry.data for entry in reversed(entries) if entry.kind == "closed"), {})
    if closed.get("open"):  # a job of older rules names what it was closed with
        things = ", ".join(str(one) for one in closed["open"])
        yield Open(f"closed with: {things}", "", str(closed.get("reason", "")))
    elif closed.get("reason"):
        yield Open(CLOSED_OPEN, "", str(closed["reason"]))


def _problems(entries: Sequence[Entry], called: Mapping[str, str]) -> Iterator[Open]:
    for entry in entries:
        if entry.kind == "problem":
            step = str(entry.data.get("step") or "")
            place = f" in {called.get(step, step)}" if step else ""
            yield Open(f"PROBLEM{place}: {entry.data.get('text', '')}", step)


def _answers(entries: Sequence[Entry], steps: Sequence[StepLine]) -> Iterator[Open]:
    """Yield the steps whose last answer is not as it should be, with the reason for which it was accepted."""
    last = {str(entry.data["step"]): entry for entry in entries if entry.kind in _ANSWERS}
    reasons = {
        str(entry.data.get("step") or ""): str(entry.data.get("reason", ""))
        for entry in entries
        if entry.kind == "deviation" and entry.data.get("what") in ("answer", "reading", "part")
    }
    for row in steps:
        entry = last.get(row.id)
        if entry is not None and entry.data[_ANSWERS[entry.kind]] is False:
            what = describe(entry.kind, entry.data)
            yield Open(f"step {row.number}, {row.text.rstrip('.?')}: {what}", row.id, reasons.get(row.id, ""))


def _off_values(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield the bolts whose last reading is out of limits, accepted or not."""
    off: dict[Bolt, Open] = {}
    reasons: dict[Bolt, str] = {}
    for entry in entries:
        data = entry.data
        if entry.kind == "deviation" and data["what"] == "bolt_reading":
            reasons.update(dict.fromkeys(bolt_keys(data), str(data.get("reason", ""))))
        elif entry.kind in ("bolt_replaced", "bolts_loosened"):
            gone = {(str(data["group"]), int(bolt)) for bolt in data["bolts"]}
            off = {key: one for key, one in off.items() if key[2:] not in gone}
        elif entry.kind in (*TIGHTENED, "out_of_limits", "bolt_again") or (
            entry.kind == "skipped" and data.get("what") == "bolts"
        ):
            for key in bolt_keys(data):
                off.pop(key, None)
                if data.get("verdict") in ("above", "below"):
                    verdict = f"{str(data['verdict']).upper()} LIMITS"
                    what = (
                        f"{key[2]} {key[3]}, stage {data['stage']}: {printed_value(data.get('reading'))} is {verdict}"
                    )
                    off[key] = Open(what, key[0], reasons.get(key, ""))
    yield from off.values()


def _not_done(preparation: Sequence[StepLine], steps: Sequence[StepLine]) -> Iterator[Open]:
    for row in preparation:
        if row.status != "done":
            what = f"{row.chapter}: {row.text.rstrip('.')}: {row.status.upper()}"
            yield Open(what, row.id, "; ".join(row.results))
    for row in steps:
        if row.status in ("not done", "left out"):
            why = "; ".join(row.results) if row.status == "left out" else ""
            yield Open(f"step {row.number}, {row.text.rstrip('.')}: {row.status.upper()}", row.id, why)
        for hazard in row.hazards:
            if "NOT ACKNOWLEDGED" in hazard and row.status != "not done":
                yield Open(f"step {row.number}: {hazard}", row.id)
