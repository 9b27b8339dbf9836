"""Where the time went: pauses and interruptions, and the time of each step without them."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.journal.port import Entry
from assistant.report.record.model import Gap

_MARKS = frozenset({"opened", "prepared", "step_done", "skipped"})
"""A step begins where the place before it ended."""


def gaps_of(entries: Sequence[Entry]) -> tuple[Gap, ...]:
    """Return pauses, interruptions and times without a device, in the order in which they began."""
    found: list[Gap] = []
    begun: dict[str, Entry] = {}
    before: Entry | None = None
    for entry in entries:
        match entry.kind:
            case "paused":
                begun["pause"] = entry
            case "carried_on" if start := begun.pop("pause", None):
                found.append(Gap(start.seq, "pause", start.at_ms, entry.at_ms))
            case "handing_over":
                begun["hand-over"] = entry
            case "handed_over" | "cancelled" if start := begun.pop("hand-over", None):
                found.append(Gap(start.seq, _handed(entry), start.at_ms, entry.at_ms))
            case "interrupted":
                begun["interrupted"] = entry
            case "resumed":
                start = begun.pop("interrupted", before)
                if start is not None:
                    why = str(start.data.get("by", "")) if start.kind == "interrupted" else "the program ended unasked"
                    found.append(Gap(start.seq, f"interrupted: {why}", start.at_ms, entry.at_ms))
            case "device_lost":
                begun[str(entry.data.get("device"))] = entry
            case "device_back" if start := begun.pop(str(entry.data.get("device")), None):
                found.append(Gap(start.seq, f"no {entry.data.get('device')}", start.at_ms, entry.at_ms))
            case "sound_lost":
                found.append(Gap(entry.seq, "some sound was lost", entry.at_ms, entry.at_ms))
        before = entry
    found += [Gap(start.seq, what, start.at_ms, None) for what, start in begun.items()]
    return tuple(sorted(found, key=lambda gap: gap.entry))


def _handed(entry: Entry) -> str:
    """Return what came of a hand-over: who left, and who took over."""
    if entry.kind == "cancelled":
        return "hand-over, not done"
    left, taken = (str(entry.data.get(key) or "not named") for key in ("left_by", "taken_by"))
    return f"hand-over: {left} left, {taken} took over"


def _idle(entries: Sequence[Entry]) -> list[tuple[int, int]]:
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


def _worked_ms(idle: Sequence[tuple[int, int]], start: int, end: int) -> int:
    return end - start - sum(max(0, min(end, to) - max(start, since)) for since, to in idle)


def worked_seconds(entries: Sequence[Entry]) -> int:
    """Return how long [s] the job was worked on, from its opening to its closing, or to its last entry."""
    end = next((entry.at_ms for entry in reversed(entries) if entry.kind == "closed"), entries[-1].at_ms)
    return round(_worked_ms(_idle(entries), entries[0].at_ms, end) / 1000)


def seconds_by_step(entries: Sequence[Entry]) -> dict[str, int]:
    """Return the time [s] of each step that is done, by its id, without pauses and interruptions.

    A step that was done again has the sum.
    """
    idle = _idle(entries)
    since = entries[0].at_ms
    found: dict[str, int] = {}
    for entry in entries:
        if entry.kind == "step_done":
            step = str(entry.data["step"])
            found[step] = found.get(step, 0) + _worked_ms(idle, since, entry.at_ms)
        if entry.kind in _MARKS or (entry.kind == "hazard_acknowledged" and ":" in str(entry.data.get("place"))):
            since = entry.at_ms
    return {step: round(ms / 1000) for step, ms in found.items()}
