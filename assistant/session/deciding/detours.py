"""Going to a place that was named, back by some, and back to where somebody was: the view moves, nothing is done."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.detours import AskGoTo, NotGone, Obstacle, WentTo
from assistant.facts.going import RefusedWhy
from assistant.facts.inputs import HeardFar
from assistant.session.deciding import asking, moving
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.detours import goal_of, hazards_between, jumped_over, origin
from assistant.session.gates import gates_before
from assistant.session.obstacles import in_the_way, safety_unread, stops_before


def go_to(d: Deciding, command: Command) -> None:
    """Go to the step, chapter or kind of step that was named, unless the machine is not as that step needs it."""
    at = goal_of(d, command.name)
    if at is None:
        d.put(NotGone(place="", why=Obstacle.NO_STEP))
    elif at == d.at:
        d.put(NotGone(place=d.place.key, why=Obstacle.HERE, step=d.place.key))
    else:
        place = d.job.places[at]
        found = in_the_way(d, place)
        if found is not None:
            d.put(NotGone(place=place.key, why=found.why, what=found.what, step=found.step))
        else:
            _go_past_hazards(d, at)


def go_back_by(d: Deciding, command: Command) -> None:
    """Go back by a number of places; as with each of them by itself, nothing keeps from it."""
    at = d.at
    for _ in range(int(command.number or 0)):
        before = d.place_before(at)
        if before == at:
            d.refuse(RefusedWhy.START_OF_JOB)
            return
        at = before
    if at == d.at:
        d.put(NotGone(place=d.place.key, why=Obstacle.HERE, step=d.place.key))
    else:
        _go(d, at)


def go_where_i_was(d: Deciding, _: Command) -> None:
    """Go back to the place from which somebody went elsewhere last."""
    at = origin(d)
    if at is None:
        d.refuse(RefusedWhy.NO_DETOUR)
    elif gates_before(d, at):
        d.refuse(RefusedWhy.GATE_OPEN)
    elif safety_unread(d, at):
        d.put(NotGone(place=d.job.places[at].key, why=Obstacle.PREPARATION))
    elif (stop := next(stops_before(d, at), None)) is not None:
        d.put(NotGone(place=d.job.places[at].key, why=Obstacle.STOP, what=stop.key))
    else:
        _go_past_hazards(d, at)


def _go_past_hazards(d: Deciding, at: int) -> None:
    """Go on to the index ``at``, once the hazards on the way were read, and confirmed as read."""
    hazards = tuple((key, number + 1) for key, number in hazards_between(d, at))
    if hazards:
        asking.ask(d, AskGoTo(place=d.job.places[at].key, hazards=hazards))
    else:
        _go(d, at)


def _granted(d: Deciding, question: AskGoTo, _reason: str) -> None:
    """Go past the hazards; where their reading was cut short, they are read once more."""
    if d.heard_far is HeardFar.PART and not question.again:
        asking.ask(d, AskGoTo(place=question.place, hazards=question.hazards, again=True))
    else:
        _go(d, d.job.index[question.place], question.hazards)


def _go(d: Deciding, at: int, hazards: tuple[tuple[str, int], ...] = ()) -> None:
    """Go to the index ``at``: what is jumped over stays open."""
    place, left = d.job.places[at].key, tuple(jumped_over(d, at))
    d.put(WentTo(place=place, since=d.place.key, stays_open=left, hazards=hazards))
    moving.arrive(d, at)


add_grant(AskGoTo, _granted, anew=("go_to", "go_back", "go_back_by"))
