"""Hazards: acknowledged, and how far each was heard before that."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.codes import SignalWord
from assistant.facts.going import CarriedOn, HazardAcknowledged, HazardAgain, HazardCut, Refused, RefusedWhy
from assistant.facts.inputs import HeardFar, Understood
from assistant.facts.people import HandedOver
from assistant.session.deciding import moving
from assistant.session.deciding.core import Deciding
from assistant.session.intents import KNOBS, WORDS
from assistant.session.places import SafetyPlace
from assistant.session.state import HazardKey

_GRAVE = (SignalWord.DANGER, SignalWord.WARNING)
_READ_AGAIN = (HazardAgain, CarriedOn, HandedOver)
_AT_START = Refused(why=RefusedWhy.START_OF_JOB)
"""Facts with which a hazard that waits is read from its start."""
_ASK_FOR_IT = {"repeat", "repeat_step", "brief"}
"""Questions with which it is."""
_WITHOUT_WORDS = {WORDS, *KNOBS} - {"be_quiet"}
"""What is answered with a tone alone, so that what is being said goes on."""


def acknowledge(d: Deciding, _: Command) -> None:
    """Take "confirmed" for the hazard that waits here, and go on.

    A danger or a warning that was not heard as far as how to avoid it is read again the first time.
    """
    number = d.unread
    if number is None:
        raise RuntimeError("There is no hazard to acknowledge.")
    place = d.place
    hazard = place.hazards[number]
    heard = HeardFar.PART if d.state.cut_hazard == (place.key, number) else d.heard_far
    if heard is HeardFar.PART and hazard.word in _GRAVE and (place.key, number) not in d.state.hurried:
        d.put(HazardAgain(place=place.key, number=number + 1))
        return
    d.put(HazardAcknowledged(place=place.key, number=number + 1, word=hazard.word, heard=heard))
    if isinstance(place, SafetyPlace):
        moving.advance(d)
    else:
        moving.settle(d)


def read_at_return(d: Deciding) -> None:
    """Put down that a hazard whose reading was cut is read again from its start, since the job is taken up there."""
    number = d.unread
    if number is not None and d.phase == d.base and d.state.cut_hazard == (d.place.key, number):
        d.put(HazardCut(place=d.place.key, number=number + 1, is_cut=False))


def follow(d: Deciding, waiting: HazardKey | None) -> None:
    """Put down, behind an answer, whether it cut the reading of the hazard that was ``waiting`` before it."""
    given = d.given
    if waiting is None or d.unread is None or (d.place.key, d.unread) != waiting or not isinstance(given, Understood):
        return
    is_cut = d.state.cut_hazard == waiting
    asked = given.intent in _ASK_FOR_IT and d.waits_at_hazard
    if asked or any(isinstance(fact, _READ_AGAIN) or fact == _AT_START for fact in d.facts):
        if is_cut:
            d.put(HazardCut(place=waiting[0], number=waiting[1] + 1, is_cut=False))
    elif d.heard_far is HeardFar.PART and given.intent not in _WITHOUT_WORDS and not is_cut:
        d.put(HazardCut(place=waiting[0], number=waiting[1] + 1, is_cut=True))
