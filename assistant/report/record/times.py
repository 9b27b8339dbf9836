"""Where the time went: pauses and interruptions, and the time of each step without them."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.asking import Cancelled, Skipped
from assistant.facts.bay import DeviceBack, DeviceLost, Interrupted, SoundLost
from assistant.facts.detours import WentTo
from assistant.facts.going import CarriedOn, Closed, HandingOver, HazardAcknowledged, Paused, Prepared
from assistant.facts.inputs import Opened, Resumed
from assistant.facts.people import HandedOver
from assistant.facts.steps import StepDone
from assistant.journal.port import Entry
from assistant.report.record.model import Gap

_MARKS = (Opened, Prepared, StepDone, Skipped, WentTo)
"""A step begins where the place before it ended."""


def gaps_of(entries: Sequence[Entry]) -> tuple[Gap, ...]:
    """Return pauses, interruptions and times without a device, in the order in which they began."""
    found: list[Gap] = []
    begun: dict[str, Entry] = {}
    before: Entry | None = None
    for entry in entries:
        match entry.fact:
            case Paused():
                begun["pause"] = entry
            case CarriedOn() if start := begun.pop("pause", None):
                found.append(Gap(start.seq, "pause", start.at_ms, entry.at_ms))
            case HandingOver():
                begun["hand-over"] = entry
            case HandedOver() | Cancelled() as fact if start := begun.pop("hand-over", None):
                found.append(Gap(start.seq, _handed(fact), start.at_ms, entry.at_ms))
            case Interrupted():
                begun["interrupted"] = entry
            case Resumed():
                start = begun.pop("interrupted", before)
                if start is not None:
                    why = start.fact.by if isinstance(start.fact, Interrupted) else "the program ended unasked"
                    found.append(Gap(start.seq, f"interrupted: {why}", start.at_ms, entry.at_ms))
            case DeviceLost(device=device):
                begun[device] = entry
            case DeviceBack(device=device) if start := begun.pop(device, None):
                found.append(Gap(start.seq, f"no {device}", start.at_ms, entry.at_ms))
            case SoundLost():
                found.append(Gap(entry.seq, "some sound was lost", entry.at_ms, entry.at_ms))
        before = entry
    found += [Gap(start.seq, what, start.at_ms, None) for what, start in begun.items()]
    return tuple(sorted(found, key=lambda gap: gap.entry))


def _handed(fact: HandedOver | Cancelled) -> str:
    """Return what came of a hand-over: who left, and who took over."""
    if isinstance(fact, Cancelled):
        return "hand-over, not done"
    return f"hand-over: {fact.left_by or 'not named'} left, {fact.taken_by or 'not named'} took over"


def idle_spans(entries: Sequence[Entry]) -> list[tuple[int, int]]:
    """Return the times [ms] in which nobody worked, merged where they overlap."""
    spans = sorted(
        (gap.from_ms, gap.to_ms)
        for gap in gaps_of(entries)
        if gap.to_ms is not None and gap.what.startswith(("pause", "hand-over", "interrupted"))
    )
    merged: list[tuple[int, int]] = []
    for start, end in spans:
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def worked_between(idle: Sequence[tuple[int, int]], start: int, end: int) -> int:
    """Return how much [ms] of the time from ``start`` to ``end`` [ms] lies outside of the spans ``idle``."""
    return end - start - sum(max(0, min(end, to) - max(start, since)) for since, to in idle)


def worked_seconds(entries: Sequence[Entry]) -> int:
    """Return how long [s] the job was worked on, from its opening to its closing, or to its last entry."""
    end = next((entry.at_ms for entry in reversed(entries) if isinstance(entry.fact, Closed)), entries[-1].at_ms)
    return round(worked_between(idle_spans(entries), entries[0].at_ms, end) / 1000)


def seconds_by_step(entries: Sequence[Entry]) -> dict[str, int]:
    """Return the time [s] of each step that is done, by its id, without pauses and interruptions.

    A step that was done again has the sum, and one that somebody left and came back to has the time before, too.
    """
    idle = idle_spans(entries)
    since = entries[0].at_ms
    found: dict[str, int] = {}
    left: dict[str, int] = {}
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, StepDone):
            before = found.get(fact.step, 0) + left.pop(fact.step, 0)
            found[fact.step] = before + worked_between(idle, since, entry.at_ms)
        if isinstance(fact, WentTo):
            left[fact.since] = left.get(fact.since, 0) + worked_between(idle, since, entry.at_ms)
        if isinstance(fact, _MARKS) or (isinstance(fact, HazardAcknowledged) and ":" in fact.place):
            since = entry.at_ms
    return {step: round(ms / 1000) for step, ms in found.items()}
