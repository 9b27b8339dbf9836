"""What is still open, and what went wrong in the job and was not put right. None of it goes by itself.

A reason that was given when something was accepted explains it, and does not make it right: whoever closes the job
hears of it once more. What is open in a step is known to the kind of the step.
"""

from __future__ import annotations

from collections.abc import Collection

from assistant.facts.extra import Severity
from assistant.session import gates, photos
from assistant.session.branching import branch_of
from assistant.session.here import Here
from assistant.session.part import OpenKind, OpenThing, part_of
from assistant.session.places import CardPlace, SafetyPlace, StepPlace, StopPlace
from assistant.session.state import ExtraIs
from assistant.session.told import ToldKind

_GRAVEST_FIRST = tuple(OpenKind)


def problems(here: Here) -> list[tuple[str, str]]:
    """Return the problems that were taken down, in order: id of the step ("" for none) and words."""
    return [(told.step, told.words) for told in here.state.told if told.kind is ToldKind.PROBLEM]


def open_places(here: Here) -> list[str]:
    """Return the keys of places that are neither done nor left out with a reason."""
    state = here.state
    keys = []
    for place in here.places:
        match place:
            case StepPlace(key=key):
                is_open = key not in state.done and key not in state.skipped
            case SafetyPlace(key=key):
                is_open = (key, 0) not in state.acknowledged
            case CardPlace(key=key):
                is_open = key not in state.prepared and key not in state.skipped
            case StopPlace(key=key):
                is_open = key not in state.past_stops
            case _:
                continue
        if is_open:
            keys.append(key)
    return keys


def extra_open(here: Here) -> list[str]:
    """Return the keys of extra work that is open: nobody answered, it is not done, or it must be before running."""
    return [
        work
        for work, extra in here.state.extra.items()
        if extra.stands is ExtraIs.ASKED
        or (extra.stands is ExtraIs.GRANTED and branch_of(here.job, work) is None)
        or (extra.severity is Severity.BEFORE_RUNNING and extra.stands is not ExtraIs.DONE)
    ]


def pages(here: Here, keys: Collection[str]) -> list[str]:
    """Return those of ``keys`` that belong to the preparation."""
    places = (here.job.places[here.job.index[key]] for key in keys)
    return [place.key for place in places if isinstance(place, CardPlace | SafetyPlace)]


def things_open(here: Here, named: Collection[str] = ()) -> list[OpenThing]:
    """Return what is open inside the steps, the gravest first; the steps ``named`` are told to be open themselves."""
    found = [
        thing
        for place in here.places
        if isinstance(place, StepPlace)
        for thing in part_of(place.step).open(here, place.step, named)
    ]
    return sorted(found, key=lambda thing: _GRAVEST_FIRST.index(thing.kind))


def is_open(here: Here) -> bool:
    """Return whether anything at all is open."""
    keys = {*open_places(here), *here.state.skipped}
    troubles = here.state.held or here.state.dropped
    found = problems(here) or things_open(here, keys) or extra_open(here) or gates.without_witness(here)
    return bool(keys or troubles or found or photos.places_without_photo(here))
