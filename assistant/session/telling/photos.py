"""What is said of photos; that one is to be taken, or its file removed, is for the bay to do."""

from __future__ import annotations

from assistant.events import DropPhoto, TakePhoto, ToneKind
from assistant.facts.photos import (
    AskDropPhoto,
    AskNoPhoto,
    PhotoAsked,
    PhotoDropped,
    PhotoFirst,
    PhotoLeftOut,
    PhotoTaken,
)
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.session import photos
from assistant.session.common import Common
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.remembered import PhotoAt
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls


def step_photo_words(t: Telling, place: StepPlace) -> list[str]:
    """Return which photos show how it was, and that the step demands one."""
    shown = photos.shown_here(t)
    lines = [t.language.photos.photo_shows_before([one.number for one in shown])] if shown else []
    return [*lines, t.language.photos.photo_demanded()] if photos.lacks(t, place.step) else lines


def wanted_words(t: Telling) -> list[str]:
    """Return that the present step goes on with its photo."""
    return [t.language.photos.photo_wanted(t.place.called)] if isinstance(t.place, StepPlace) else []


def steps_without_photo(t: Telling) -> list[str]:
    """Name the steps that were done and lack their photo."""
    return [t.language.photos.open_photo(place.called) for place in photos.places_without_photo(t)]


def _called(here: Here, step: str) -> StepAt | None:
    place = here.job.places[here.job.index[step]] if step in here.job.index else None
    return place.called if isinstance(place, StepPlace) else None


@tells(PhotoAsked)
def _asked(t: Telling, _: PhotoAsked) -> None:
    """Let the bay take it; the photo itself is the answer, and "repeat" still means what was said before."""
    t.keeps_last = True
    t.tone(ToneKind.ACCEPTED)
    t.do(TakePhoto())


@tells(PhotoTaken)
def _taken(t: Telling, fact: PhotoTaken) -> None:
    """Say it; nothing is said into a note."""
    if t.phase == Common.DICTATION:
        t.tone(ToneKind.ACCEPTED)
        return
    t.keeps_last = t.phase != t.base
    t.say(t.language.photos.photo_taken(fact.number, _called(t, fact.step)))


@tells(PhotoFirst)
def _first(t: Telling, _: PhotoFirst) -> None:
    t.say(*wanted_words(t))


@tells(PhotoDropped)
def _dropped(t: Telling, fact: PhotoDropped) -> None:
    gone = _photo(t.before, fact.number)
    if gone is not None:
        if all(one.sha256 != gone.sha256 for one in t.state.photos.taken):
            t.do(DropPhoto(gone.sha256))
        t.say(t.language.photos.photo_dropped(fact.number))


@tells(PhotoLeftOut)
def _left_out(t: Telling, _: PhotoLeftOut) -> None:
    t.fixed(Sentence.WRITTEN_DOWN)


@calls(PhotoTaken)
def _photo_called(t: Telling, fact: PhotoTaken) -> str:
    return t.language.photos.photo_called(fact.number)


@calls(PhotoLeftOut)
def _left_out_called(t: Telling, fact: PhotoLeftOut) -> str:
    step = _called(t, fact.step)
    return "" if step is None else t.language.photos.open_photo(step)


def _photo(here: Here, number: int) -> PhotoAt | None:
    return next((one for one in here.state.photos.taken if one.number == number), None)


def _drop_words(t: Telling, question: AskDropPhoto) -> list[str]:
    one = _photo(t, question.number)
    step = None if one is None else _called(t, one.step)
    return [t.language.photos.drop_photo(question.number, step), t.text(Sentence.SAY_CONFIRMED)]


def _without(t: Telling, question: AskNoPhoto) -> str:
    step = _called(t, question.step)
    return "" if step is None else t.language.photos.without_photo(step)


add_read_back(AskDropPhoto, ReadBack(_drop_words))
add_read_back(AskNoPhoto, ReadBack(summary=_without))
