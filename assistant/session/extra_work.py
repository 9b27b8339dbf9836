"""Extra work: what it is called, and which of it stands how."""

from __future__ import annotations

from assistant.facts.extra import GrantWay
from assistant.session import branching
from assistant.session.branching import branch_of, is_finished
from assistant.session.here import Here
from assistant.session.places import OfferPlace, StepPlace
from assistant.session.state import Extra, ExtraIs


def title_of(here: Here, work: str) -> str:
    """Return what extra work is called: the title of its branch, the words of a finding, or its first step."""
    branch = branch_of(here.job, work)
    if branch is None:
        return here.state.extra[work].text if work in here.state.extra else ""
    return branch.title or branch.steps[0].text


def next_number(here: Here) -> int:
    """Return the number that the next piece of extra work gets; that of one that is there is not given twice."""
    return max((extra.number for extra in here.state.extra.values()), default=0) + 1


def work_numbered(here: Here, number: int) -> str | None:
    """Return the key of the extra work with that number."""
    return next((work for work, extra in here.state.extra.items() if extra.number == number), None)


def stands(here: Here, work: str) -> ExtraIs:
    """Return how extra work stands; a branch of which all steps are answered is done."""
    return ExtraIs.DONE if is_done(here, work) else here.state.extra[work].stands


def works(here: Here, *stands: ExtraIs) -> list[tuple[str, Extra]]:
    """Return the extra work that stands so, by key, in the order in which it was asked."""
    return [(work, extra) for work, extra in here.state.extra.items() if extra.stands in stands]


def is_done(here: Here, work: str) -> bool:
    """Return whether extra work was done: said so, or all steps of its branch."""
    extra = here.state.extra[work]
    if extra.stands is ExtraIs.DONE:
        return True
    return extra.stands is ExtraIs.GRANTED and is_finished(here.job, here.state, work)


def is_answered_on_page(here: Here, work: str) -> bool:
    """Return whether the customer granted or declined extra work on the page, and that still stands."""
    extra = here.state.extra.get(work)
    answered = (ExtraIs.GRANTED, ExtraIs.DECLINED)
    return extra is not None and extra.way is GrantWay.PAGE and extra.stands in answered


def is_answered_here(here: Here) -> bool:
    """Return whether that is so for what is offered at the present place."""
    return isinstance(here.place, OfferPlace) and is_answered_on_page(here, here.place.within[-1])


def was_granted_on_page(here: Here, work: str) -> bool:
    """Return whether the customer granted extra work on the page, and that still stands."""
    return is_answered_on_page(here, work) and here.state.extra[work].stands is ExtraIs.GRANTED


def work_begun(here: Here, work: str) -> bool:
    """Return whether anything of extra work was done or left out, or the job stands in it."""
    inside = work in here.place.within and not isinstance(here.place, OfferPlace)
    return inside or branching.is_begun(here.job, here.state, work)


def first_place(here: Here, work: str) -> int | None:
    """Return the index of the first place of granted work that has steps; None where it has none."""
    places = (number for number, place in enumerate(here.job.places) if work in place.within)
    return next((number for number in places if not here.shut(here.job.places[number])), None)


def step_numbered(here: Here, number: int) -> StepPlace | None:
    """Return the step of the job with that number."""
    found = (place for place in here.places if isinstance(place, StepPlace) and not place.closing and not place.behind)
    return next((place for place in found if place.number == number), None)


def waits_for_answer(here: Here) -> list[str]:
    """Return the keys of extra work for which nobody has answered yet."""
    return [work for work, _ in works(here, ExtraIs.ASKED)]


def granted_not_done(here: Here) -> list[str]:
    """Return the keys of granted work without steps that is not done; steps are open themselves."""
    return [work for work, _ in works(here, ExtraIs.GRANTED) if branch_of(here.job, work) is None]


def was_passed(here: Here) -> bool:
    """Return whether the job goes on behind a branch that stops it, as somebody agreed to."""
    return here.place.key in here.state.past_stops
