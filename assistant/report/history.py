"""What many jobs tell together: times of steps, interruptions, what is misheard, use of tools. Pure."""

from __future__ import annotations

import csv
import io
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from assistant.facts import Fact
from assistant.facts.asking import Asked, Cancelled, Deviated, Skipped
from assistant.facts.bay import DeviceLost, Interrupted, PartFailed
from assistant.facts.going import CarriedOn, Closed, HandingOver, HazardAcknowledged, Paused, Prepared
from assistant.facts.inputs import NotUnderstood, Opened, Resumed, UnsureOf
from assistant.facts.people import ProblemNoted
from assistant.facts.steps import StepDone
from assistant.facts.taking_back import DeviationWithdrawn, HazardReopened, Reopened
from assistant.journal.port import Entry
from assistant.report.history_words import work_words
from assistant.report.record.printing import tag_of
from assistant.report.record.standing import what_stands
from assistant.report.record.times import seconds_by_step, worked_seconds
from assistant.report.record.values import place_named, step_of
from assistant.visible import cell

HISTORY_FACTS: tuple[type[Fact], ...] = (
    Opened, Prepared, HazardAcknowledged, StepDone, Skipped, Paused, CarriedOn, HandingOver, Interrupted, Resumed,
    DeviceLost, PartFailed, NotUnderstood, Asked, Cancelled, Closed, ProblemNoted, Deviated, Reopened,
    HazardReopened, DeviationWithdrawn,
)  # fmt: skip
"""What a history is made of."""
_STOPS: Mapping[type[Fact], str] = {
    Paused: "pause",
    HandingOver: "hand-over",
    Interrupted: "interrupted",
    Resumed: "taken up again",
    DeviceLost: "device lost",
    PartFailed: "part failed",
}
HISTORY_COLUMNS = (
    "table", "procedure", "what", "count", "median_s", "low_s", "high_s", "least_s", "most_s", "title", "words",
)  # fmt: skip
"""Columns of the CSV history; docs/history.md says what stands in them."""
_NONE = ("",) * 5
"""The times of a row that only counts."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How long something took [s]: how often, the median, the quartiles, the least and the most."""

    count: int
    median: float
    low: float
    high: float
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class ToolUse:
    """A wrench: clicks since its calibration, the most of them, and when it is due (ISO day, or why it is due now)."""

    name: str
    clicks: int
    most: int
    due: str


@dataclass(slots=True)
class History:
    """The tables; keys are procedures, then steps or words."""

    jobs: int = 0
    closed: int = 0
    whole: dict[str, Spread] = field(default_factory=dict)
    steps: dict[tuple[str, str], Spread] = field(default_factory=dict)
    stops: Counter[tuple[str, str]] = field(default_factory=Counter)
    unclear: Counter[str] = field(default_factory=Counter)
    cancelled: Counter[str] = field(default_factory=Counter)
    trouble: Counter[tuple[str, str]] = field(default_factory=Counter)
    tools: tuple[ToolUse, ...] = ()
    openings: dict[str, Opened] = field(default_factory=dict)
    """The newest opening of each revision that was worked by; its words are :mod:`assistant.report.history_words`."""


def spread(seconds: Sequence[float]) -> Spread:
    """Return the spread of ``seconds`` [s], at least one; quartiles are those between which the middle half lies.

    Quartiles by linear interpolation between ranks (the inclusive method of :func:`statistics.quantiles`).
    """
    low, middle, high = (
        statistics.quantiles(seconds, n=4, method="inclusive") if len(seconds) > 1 else (seconds[0],) * 3
    )
    return Spread(len(seconds), middle, low, high, min(seconds), max(seconds))


def history_of(jobs: Iterable[Sequence[Entry]]) -> History:
    """Return the history of ``jobs``, each with its entries of HISTORY_FACTS in order, the first being its opening."""
    found = History()
    whole: defaultdict[str, list[float]] = defaultdict(list)
    steps: defaultdict[tuple[str, str], list[float]] = defaultdict(list)
    for all_of_them in jobs:
        entries = what_stands(all_of_them)
        if not entries or not isinstance(opened := entries[0].fact, Opened):
            continue
        procedure = opened.procedure_id
        found.openings.pop(opened.procedure_sha256, None)
        found.openings[opened.procedure_sha256] = opened
        found.jobs += 1
        if any(isinstance(entry.fact, Closed) for entry in entries):
            found.closed += 1
            whole[procedure].append(worked_seconds(entries))
        for step, seconds in seconds_by_step(entries).items():
            steps[procedure, step].append(seconds)
        _count(found, procedure, entries)
    found.whole = {name: spread(times) for name, times in sorted(whole.items())}
    found.steps = {key: spread(times) for key, times in steps.items()}
    return found


def step_medians(jobs: Iterable[Sequence[Entry]]) -> dict[str, int]:
    """Return the median time [s] of each step that was done in ``jobs``, each with its entries of HISTORY_FACTS."""
    times: defaultdict[str, list[int]] = defaultdict(list)
    for entries in jobs:
        for step, seconds in seconds_by_step(entries).items():
            times[step].append(seconds)
    return {step: round(statistics.median(seconds)) for step, seconds in times.items()}


def _count(found: History, procedure: str, entries: Sequence[Entry]) -> None:
    step = "the end"
    for entry in reversed(entries):
        step = step_of(entry.fact) or step
        if stop := _STOPS.get(type(entry.fact)):
            found.stops[procedure, f"{step}: {stop}"] += 1
    asked = ""
    for entry in entries:
        match entry.fact:
            case UnsureOf(intent=intent):
                found.unclear[intent.replace("_", " ")] += 1
            case NotUnderstood(text=text):
                found.unclear[text or "(no words)"] += 1
            case Asked(question=question):
                asked = tag_of(question)
            case Cancelled(what=what, why=why) if what.replace("_", " ") == asked:
                found.cancelled[f"{asked} ({why.value})"] += 1
            case ProblemNoted(step=at):
                found.trouble[procedure, f"{at or '-'}: {entry.kind}"] += 1
            case Deviated() | Skipped() as fact:
                found.trouble[procedure, f"{place_named(fact) or '-'}: {entry.kind}"] += 1


def history_csv(history: History) -> str:
    """Return all tables as one CSV (RFC 4180), with ids, and with their words behind."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\r\n")
    write.writerow(HISTORY_COLUMNS)
    words = work_words(history.openings.values())
    for table, spreads in (
        ("procedure", {(name, ""): one for name, one in history.whole.items()}),
        ("step", history.steps),
    ):
        for (procedure, what), one in spreads.items():
            numbers = (one.median, one.low, one.high, one.least, one.most)
            told = cell(words.title(procedure)), cell(words.steps.get((procedure, what), ""))
            numbered = (one.count, *(f"{number:g}" for number in numbers))
            write.writerow((table, cell(procedure), cell(what), *numbered, *told))
    for table, counts in (("interruption", history.stops), ("trouble", history.trouble)):
        for (procedure, what), count in counts.most_common():
            told = cell(words.title(procedure)), cell(words.what(procedure, what))
            write.writerow((table, cell(procedure), cell(what), count, *_NONE, *told))
    for table, spoken in (("misheard", history.unclear), ("cancelled", history.cancelled)):
        for what, count in spoken.most_common():
            write.writerow((table, "", cell(what), count, *_NONE, "", ""))
    for tool in history.tools:
        write.writerow(("tool", "", cell(f"{tool.name}: of {tool.most}, {tool.due}"), tool.clicks, *_NONE, "", ""))
    return out.getvalue()
