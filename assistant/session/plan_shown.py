"""What a display may show of the plan while something waits, or an open time runs: JSON values."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.session import timing
from assistant.session.here import Here
from assistant.session.lasting import From
from assistant.session.planning import planned, stretches
from assistant.session.tools.named import name_of

_MOST = 5
"""So many steps are shown; what comes behind them is told as a number."""


def plan_shown(here: Here) -> Mapping[str, Any] | None:
    """Return the next steps of the plan [s from now], those that wait among them; None where nothing waits or runs."""
    step = here.step
    if here.state.closed or step is None or not (timing.live(here) or step.waits_for):
        return None
    found = planned(here)
    if found.plan is None:
        return None
    since = min(found.plan.seconds, (here.now_ms - found.at_ms) // 1000) if timing.live(here) else 0
    rows = [row for row in stretches(here, found) if row.end >= since or not row.waits]
    shown = rows[:_MOST]
    return {
        "seconds": max(0, found.plan.seconds - since),
        "unknown": found.count(From.NOTHING),
        "estimated": found.count(From.ESTIMATE),
        "lacking": [name_of(here, one) for one in found.lacking],
        "late": [here.job.timers[one].name for one in found.late],
        "more": len(rows) - len(shown),
        "rows": [
            {
                "number": row.place.number,
                "closing": row.place.closing,
                "text": row.place.step.text,
                "start": max(0, row.start - since),
                "end": max(0, row.end - since),
                "waits": row.waits,
                "now": row.place.key == here.state.place and not row.waits,
                "holds_up": row.holds_up,
                "known": row.waits or (row.known is not None and row.known is not From.NOTHING),
                "estimated": row.known is From.ESTIMATE,
                "people": row.people,
                "by_helper": row.by_helper,
            }
            for row in shown
        ],
    }
