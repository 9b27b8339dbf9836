"""The closing of the job."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import AskFinish
from assistant.facts.going import Closed, Moved, RefusedWhy
from assistant.facts.photos import LeftWithoutPhoto
from assistant.facts.second import LeftUnwitnessed
from assistant.session import gates, photos
from assistant.session.deciding import asking, customer, extra, moving, troubles
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.open_things import is_open, open_places, problems, things_open
from assistant.session.part import OpenKind
from assistant.session.places import EndPlace


def finish(d: Deciding, _: Command) -> None:
    """Ask to close the job; what is open needs a reason first. With a gate that is not passed it is not closed.

    Behind the last step nothing but "finish job" leads on, so it leads to the gate.
    """
    if open_gates := gates.gates_before(d):
        d.refuse(RefusedWhy.GATE_OPEN)
        if isinstance(d.place, EndPlace):
            d.put(Moved(place=open_gates[0].key))
            moving.arrive(d, d.job.index[open_gates[0].key])
    elif is_open(d):
        asking.demand_reason(d, AskFinish())
    else:
        asking.ask(d, AskFinish())


def _close(d: Deciding, question: AskFinish, reason: str) -> None:
    """Close the job, with what is open; not past an answer of the customer that nobody has heard yet."""
    if customer.put_aside(d, question):
        return
    extra.left_open(d)
    steps, found = open_places(d), things_open(d)
    if d.state.held or d.state.dropped:
        troubles.leave(d)
    if seen_by_nobody := gates.without_witness(d):
        d.put(LeftUnwitnessed(steps=tuple(place.key for place in seen_by_nobody)))
    if lacking := photos.places_without_photo(d):
        d.put(LeftWithoutPhoto(steps=tuple(place.key for place in lacking)))
    of = {kind: [thing for thing in found if thing.kind is kind] for kind in OpenKind}
    d.put(
        Closed(
            reason=reason,
            open_steps=tuple(steps),
            open_counts=tuple(str(thing.about[0]) for thing in of[OpenKind.COUNT]),
            open_stages=tuple((thing.step, int(thing.about[0])) for thing in of[OpenKind.STAGE]),
            open_parts=tuple(thing.step for thing in of[OpenKind.PART]),
            open_problems=tuple(step or None for step, _ in problems(d)),
            open_answers=tuple(thing.step for thing in of[OpenKind.ANSWER]),
            open_values=tuple(thing.step for thing in of[OpenKind.VALUE]),
            open_bolts=tuple(
                (thing.step, turn, bolt) for thing in of[OpenKind.BOLTS] for turn, bolt in thing.about
            ),
            left_out=tuple(key for key in d.state.skipped if key not in steps),
        )
    )  # fmt: skip


add_grant(AskFinish, _close, passes=False)
