"""At which time a job goes on: by the machine's steady clock as far as it reaches, never before its last entry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.clock import STEP_S, SteadyClock, this_start
from assistant.journal.port import Entry
from assistant.session.clocks import RUNNING


@dataclass(frozen=True, slots=True)
class Resuming:
    """When a job goes on [s since the epoch], and by how much the computer's clock was set meanwhile [s], or 0.

    ``facts`` go into the entry, for the next time.
    """

    now: float
    by_s: float = 0.0
    facts: Mapping[str, Any] = field(default_factory=dict)


def started(clock: SteadyClock) -> dict[str, Any]:
    """Return what a job keeps of the clocks of the program that begins or resumes it.

    ``boot`` names the start of the machine, ``boot_ms`` is the time since then, ``wall_ms`` what the computer's clock
    told at that moment [ms since the epoch].
    """
    return {"boot": this_start(), "boot_ms": clock.steady_ms(), "wall_ms": clock.wall_ms()}


def resuming(entries: Sequence[Entry], clock: SteadyClock, boot: str | None = None) -> Resuming:
    """Return when the job with ``entries`` goes on, and let ``clock`` go on from there.

    While the machine was not started anew (``boot`` is the name of its present start), its steady clock knows how much
    time has passed, whatever the computer's clock was set to. After a new start there is only the computer's clock; it
    was set when it is behind the last entry.
    """
    facts = started(clock) | ({} if boot is None else {"boot": boot})
    last = entries[-1].at_ms
    base = next((entry for entry in reversed(entries) if entry.data.get("boot")), None)
    if base is not None and facts["boot"] and base.data["boot"] == facts["boot"]:
        passed = facts["boot_ms"] - int(base.data["boot_ms"])
        steps = [entry for entry in entries if entry.kind == "clock_stepped" and entry.seq > base.seq]
        known = sum(int(entry.data["by_ms"]) for entry in steps if entry.data["when"] == RUNNING)
        by = facts["wall_ms"] - (int(base.data["wall_ms"]) + passed + known)
        now = max(base.at_ms + passed, last)
    else:
        by = min(0, facts["wall_ms"] - last)
        now = max(facts["wall_ms"], last)
    clock.begin_at(now / 1000)
    return Resuming(now / 1000, by / 1000 if abs(by) >= STEP_S * 1000 else 0.0, facts)
