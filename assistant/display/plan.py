"""The plan on the page: a bar for each of the next steps on an axis of time. Pure."""

from __future__ import annotations

from typing import Any

from assistant.display.kinds import Values
from assistant.drawing.bar_chart import BarKind, clock_text, ticks

_LONGEST = 48
"""Letters of a step's text beside its bar; the rest is left to where the step is read."""
_MARKS = 4
"""Marks on the axis, beside the one at its begin: so many can be read on a phone with large text."""


def plan_picture(plan: Values | None) -> dict[str, Any] | None:
    """Return the rows with their bars, from 0 to 100 along the axis, its marks, and the end; None without a plan."""
    if plan is None or not plan["rows"]:
        return None
    marks = ticks(max(60, *(row["end"] for row in plan["rows"])), _MARKS)
    step = marks[1][0] - marks[0][0]
    end = max(len(marks) - 1, -(-max(row["end"] for row in plan["rows"]) // step)) * step
    rows = []
    for row in plan["rows"]:
        kind = BarKind.WAIT if row["waits"] else BarKind.NOW if row["now"] else BarKind.OPEN
        name = f"{'closing ' if row['closing'] else ''}{row['number']}. {row['text']}"
        times = f"{clock_text(row['start'])} to {clock_text(row['end'])}" if row["known"] else "no time"
        times += ", estimated" if row["estimated"] else ""
        times += ", by the helper" if row["by_helper"] else f", {row['people']} people" if row["people"] > 1 else ""
        rows.append(
            {
                "label": name if len(name) <= _LONGEST else f"{name[: _LONGEST - 1]}…",
                "kind": kind.value,
                "times": times,
                "from": round(100 * row["start"] / end, 1),
                "to": round(100 * row["end"] / end, 1),
                "holds_up": row["holds_up"],
            }
        )
    least = "at least " if plan["unknown"] else ""
    held = ", held up by ◆" if any(row["holds_up"] for row in plan["rows"]) else ""
    more = f"; {plan['more']} more steps behind these" if plan["more"] else ""
    lacking = f" Missing: {', '.join(plan['lacking'])}." if plan["lacking"] else ""
    late = "".join(f" Too little is left: {name}." for name in plan["late"])
    return {
        "title": f"Plan: {least}{clock_text(plan['seconds'])} to the end{held}{more}.{late}{lacking}",
        "rows": rows,
        "marks": [clock_text(at) for at in range(0, end, step)],
    }
