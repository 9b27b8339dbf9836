"""Where the bolts of the present stage sit, for the small map of the page. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.drawing.places import panels
from assistant.procedure.model import Procedure
from assistant.procedure.steps.tighten import TightenStep


def spots(procedure: Procedure, view: Mapping[str, Any]) -> dict[int, tuple[float, float]]:
    """Return the place of each bolt that sits on one drawing with the present ones: x to the right, y downwards.

    The drawing is a hundred wide or a hundred high, whichever is more, with its corner at zero. Empty when nobody
    tightens, or no layout says where these bolts sit.
    """
    tighten = view.get("tighten")
    step = next((one for one in procedure.every_step if one.id == view["place"]), None)
    if not tighten or not tighten.get("group") or not isinstance(step, TightenStep):
        return {}
    used = {run.group for run in step.stages[tighten["stage"] - 1].runs}
    frames = panels([group for group in procedure.groups if group.id in used])
    here = tighten["group"]["id"]
    frame = next((one for one in frames if any(group.id == here for group in one.groups)), None)
    if frame is None or not frame.known:
        return {}
    left = min(x for x, _ in frame.points.values())
    top = max(y for _, y in frame.points.values())
    size = max(max(x - left, top - y) for x, y in frame.points.values()) or 1.0
    return {
        bolt: (round(100 * (x - left) / size, 2), round(100 * (top - y) / size, 2))
        for (_, bolt), (x, y) in frame.points.items()
    }
