"""What a page must be able to show at its fullest: views of one job, changed where a real one would take hours.

The bolts, names and times are invented.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from tests.display.play import AFTER_THE_WAIT, NOTHING, TO_FIRST_STEP, TO_TIGHTENING, Play

View = Mapping[str, Any]
TIMERS = [
    {"id": "sealant-open", "name": "sealant open time", "kind": "open", "left": 385, "over": False},
    {"id": "adhesive", "name": "adhesive setting time", "kind": "cure", "left": 1510, "over": False},
]


def with_timers(view: View) -> View:
    """Return ``view`` with two timers running beside the work."""
    return {**view, "timers": [{**one, "ends_ms": view["at_ms"] + 1000 * one["left"]} for one in TIMERS]}


def with_bolts(view: View, current: list[int], todo: list[int]) -> View:
    """Return a ``view`` of a tightening with other bolts, whose places no layout tells; the last one is hidden."""
    hidden = [{"bolt": current[-1], "where": "behind the hose bracket"}]
    bolts = {"current": current, "todo": todo, "done": [], "skipped": [], "order": [*current, *todo], "hidden": hidden}
    return {**view, "tighten": {**view["tighten"], **bolts, "hidden_bolts": [current[-1]]}}


def scenes(play: Play) -> Iterator[tuple[str, View]]:
    """Yield every scene with its name, one after the other, while ``play`` goes on."""

    def now() -> View:
        return play.runner.session.view(play.now)

    yield "conditions", now()
    play.say(*TO_FIRST_STEP[:6], "next")
    yield "refused", now()
    play.say("confirmed", "confirmed", *TO_TIGHTENING[8:])
    yield "wait", with_timers(now()) | {"timers": [*with_timers(now())["timers"], *now()["timers"]]}
    play.pass_time(31)
    play.say("next")
    yield "reading", with_timers(now())
    play.say(*AFTER_THE_WAIT[1:], NOTHING)
    yield "tightening", now()
    yield "two timers", with_timers(now())
    yield "eighteen bolts", with_bolts(with_timers(now()), [*range(1, 19)], [])
    yield "fourteen bolts", with_bolts(now(), [5, 4, 6, 3], [7, 2, 8, 1, 9, 14, 10, 13, 11, 12])
    play.say("next", "one by one", "next")
    yield "hidden", now()
    play.say("hand over", "confirmed")
    yield "hand-over", now() | {"may_take_over": ["Bram Osei", "Carla Lindqvist", "Dilek Aydin"]}
    play.say("cancel", "pause")
    yield "paused", now()
