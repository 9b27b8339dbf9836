"""Where somebody may go, what lies between, and where a detour leads back to; it changes nothing."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.language.port import Language
from assistant.procedure.format.step_list import STEP_FORMAT
from assistant.procedure.kinds import KINDS
from assistant.session import meanwhile
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.named import add_names
from assistant.session.obstacles import in_the_way
from assistant.session.part import part_of
from assistant.session.places import EndPlace, StepPlace
from assistant.session.state import HazardKey

_CHAPTER, _KIND = "chapter:", "kind:"
"""What the name of a chapter (its number from zero), or of a kind of step, begins with in a fact; a step has its id."""


# Names


def _chapters(job: Job) -> list[tuple[str, list[int]]]:
    """Return each chapter: its name, and the indices of its places."""
    found: list[tuple[str, list[int]]] = []
    for number, place in enumerate(job.places):
        if not isinstance(place, StepPlace) or place.closing:
            continue
        if place.chapter:
            found.append((place.chapter, []))
        if found:
            found[-1][1].append(number)
    return found


def _kind(place: StepPlace) -> str:
    return KINDS.part(place.step, STEP_FORMAT).kind


def _is_of(here: Here, at: int, kind: str) -> bool:
    place = here.job.places[at]
    return isinstance(place, StepPlace) and _kind(place) == kind


def _made(_: Job) -> dict[str, Mapping[str, str]]:
    return {}


def spoken(here: Here, language: Language) -> Mapping[str, str]:
    """Return all that may be gone to, by its spoken name: steps, chapters, and kinds of step."""
    made = here.job.once(_made)
    if language.code not in made:
        names: dict[str, str] = {}
        steps = [place for place in here.job.places if isinstance(place, StepPlace)]
        for place in steps:
            for name in language.detours.step_names(place.called):
                names.setdefault(name, place.key)
        for number, (chapter, _) in enumerate(here.job.once(_chapters)):
            for name in language.detours.chapter_names(chapter):
                names.setdefault(name, f"{_CHAPTER}{number}")
        for kind in dict.fromkeys(map(_kind, steps)):
            for name in language.detours.kind_names(kind):
                names.setdefault(name, f"{_KIND}{kind}")
        made[language.code] = names
    found: Mapping[str, str] = made[language.code]
    return found


add_names("go_to", spoken)


def goal_of(here: Here, name: str) -> int | None:
    """Return the index of the place that ``name`` means now; None where there is no open step of that kind.

    A chapter means its first open step, or its first one; a kind of step means the next open one, from here on.
    """
    if name.startswith(_CHAPTER):
        chapter = here.job.once(_chapters)[int(name.removeprefix(_CHAPTER))][1]
        there = [at for at in chapter if not here.shut(here.job.places[at])]
        return next((at for at in there if step_open(here, at)), there[0] if there else None)
    if name.startswith(_KIND):
        kind = name.removeprefix(_KIND)
        numbers: list[int] = [*range(here.at + 1, len(here.job.places)), *range(here.at + 1)]
        return next((at for at in numbers if step_open(here, at) and _is_of(here, at, kind)), None)
    return here.job.index.get(name)


# What lies between


def step_open(here: Here, at: int) -> bool:
    """Return whether the place with the index ``at`` is a step that is neither done nor left out."""
    place, state = here.job.places[at], here.state
    return (
        isinstance(place, StepPlace)
        and place.key not in state.done
        and place.key not in state.skipped
        and not here.shut(place)
    )


def jumped_over(here: Here, at: int) -> list[str]:
    """Return the ids of the open steps that are left behind by going on to the index ``at``."""
    return [here.job.places[number].key for number in range(here.at, at) if step_open(here, number)]


def first_open(here: Here, at: int) -> int:
    """Return the index of the first open step between here and the index ``at``; that index where there is none."""
    return next((number for number in range(here.at + 1, at) if step_open(here, number)), at)


def open_behind(here: Here) -> list[str]:
    """Return the ids of the open steps before the present place."""
    return [here.job.places[number].key for number in range(here.at) if step_open(here, number)]


def hazards_between(here: Here, at: int) -> list[HazardKey]:
    """Return the hazards on the way on to the index ``at`` that nobody acknowledged, and that were not read for it."""
    state = here.state
    return [
        (key, number)
        for key in jumped_over(here, at)
        for number in range(len(here.job.places[here.job.index[key]].hazards))
        if (key, number) not in state.acknowledged and (key, number) not in state.way_read
    ]


# Back


def origin(here: Here) -> int | None:
    """Return the index of the place to which a detour leads back; None where there is no detour.

    A branch from which somebody went may be shut since by another answer: then it is the place before that.
    """
    known = (here.job.index[key] for key in reversed(here.state.detour) if key in here.job.index)
    return next((at for at in known if not here.shut(here.job.places[at])), None)


def waits_at(here: Here, at: int | None) -> str | None:
    """Return the timer that is waited for at the index ``at``, where it was started and the wait is open."""
    place = here.job.places[at] if at is not None else None
    if not isinstance(place, StepPlace) or place.key in here.state.done:
        return None
    timer = part_of(place.step).waits_for(place.step)
    return timer if timer in here.state.timers else None


def leads_back(here: Here, after: int, *, done_now: bool) -> bool:
    """Return whether a detour ends before the place with the index ``after``, which comes next in the file.

    So it is where that place cannot be gone to, lies behind all of the work, or was done before and ``done_now`` is a
    step that was not; and behind a wait, where it is over or nothing more may be done meanwhile.
    """
    back = origin(here)
    if back is None or back == after:
        return False
    place = here.job.places[after]
    timer = waits_at(here, back)
    if timer is not None:
        return here.state.timers[timer].over or place not in meanwhile.may_be_done(here)
    first, last = here.place, place
    out = isinstance(last, EndPlace) or (isinstance(first, StepPlace) and isinstance(last, StepPlace)
        and last.closing and not first.closing)  # fmt: skip
    if out and isinstance(here.job.places[back], StepPlace) and open_behind(here):
        return True
    if isinstance(place, StepPlace) and place.key in here.state.done:
        return done_now and back > after
    return in_the_way(here, place) is not None
