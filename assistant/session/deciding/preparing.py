"""The preparation: gone through card by card or thing by thing; what is missing, found later, or gone without."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import (
    AskFound,
    AskSkipPlace,
    AskWithout,
    Deviated,
    DeviationWhat,
    Skipped,
    SkippedWhat,
)
from assistant.facts.going import ItemFound, ItemMissing, Moved, Prepared, RefusedWhy, ThingAsked
from assistant.session.deciding import asking, moving
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.places import CardPlace


def _card(d: Deciding) -> CardPlace:
    place = d.place
    if not isinstance(place, CardPlace):
        raise TypeError("This is no card of the preparation.")
    return place


def take_missing(d: Deciding, _: Command) -> None:
    """Take "missing": of a card with several things, go through it thing by thing, and mark the one that is asked."""
    card = _card(d)
    if d.state.thing == 0 and len(card.things) > 1:
        d.put(ThingAsked(place=card.key, number=1))
        return
    thing = (card.key, d.state.thing or 1)
    if thing not in d.state.missing:
        d.put(ItemMissing(place=thing[0], number=thing[1]))
    _go_on(d, card)


def take_next(d: Deciding, _: Command) -> None:
    """Take "next": the thing that is asked is here, or all of a card that was not gone through."""
    card = _card(d)
    if d.state.thing == 0:
        _done(d, card)
        return
    if (card.key, d.state.thing) in d.state.missing:
        d.put(ItemFound(place=card.key, number=d.state.thing))
    _go_on(d, card)


def thing_back(d: Deciding, command: Command) -> None:
    """Go back to the thing before, or out of a card that is not gone through."""
    if d.state.thing == 0:
        moving.go_back(d, command)
        return
    d.put(Moved(place=d.place.key))
    d.put(ThingAsked(place=d.place.key, number=d.state.thing - 1))


def _go_on(d: Deciding, card: CardPlace) -> None:
    """Go to the next thing of a card that is gone through; behind the last one the card is done."""
    following = (d.state.thing or 1) + 1
    if following <= len(card.things):
        d.put(ThingAsked(place=card.key, number=following))
    else:
        _done(d, card)


def _done(d: Deciding, card: CardPlace) -> None:
    """Put down that a card was gone through, and go on; behind the last card, first read back what is missing."""
    lacking = tuple(sorted(number for key, number in d.state.missing if key == card.key))
    d.put(Prepared(place=card.key, missing=lacking, repeated=card.key in d.state.prepared))
    _leave(d)


def _leave(d: Deciding) -> None:
    """Go on from a card; before the work begins, what is missing is read back and must be gone without for a reason."""
    more = isinstance(d.job.places[d.place_after(d.at)], CardPlace)
    if more or all(thing in d.state.without for thing in d.state.missing):
        moving.advance(d)
    else:
        asking.offer(d, AskWithout())


def _without(d: Deciding, _: AskWithout, reason: str) -> None:
    """Begin the work without what is missing."""
    d.put(Deviated(step=None, what=DeviationWhat.MISSING, reason=reason, things=d.state.missing))
    moving.advance(d)


def skip_card(d: Deciding, _: Command) -> None:
    """Ask why a card is left out."""
    asking.demand_reason(d, AskSkipPlace(place=d.place.key))


def _skipped(d: Deciding, question: AskSkipPlace, reason: str) -> None:
    """Leave a card out."""
    d.put(Skipped(what=SkippedWhat.PLACE, place=question.place, reason=reason))
    _leave(d)


def take_found(d: Deciding, _: Command) -> None:
    """Take "item found": the only thing that is missing, or ask about each, those of this card first."""
    things = tuple(sorted(d.state.missing, key=lambda thing: thing[0] != d.place.key))
    if not things:
        d.refuse(RefusedWhy.NOTHING_MISSING)
    elif len(things) == 1:
        _found(d, *things[0])
    else:
        asking.ask_found(d, things)


def _found(d: Deciding, place: str, number: int) -> None:
    d.put(ItemFound(place=place, number=number))


def _found_one(d: Deciding, question: AskFound, _reason: str) -> None:
    """Take the thing that was asked about as found, and ask about the next one."""
    _found(d, question.place, question.number)
    if question.then:
        asking.ask_found(d, question.then)


add_grant(AskSkipPlace, _skipped)


def _not_found(d: Deciding, question: AskFound) -> None:
    """Ask about the next thing that is missing, when this one is not here."""
    if question.then:
        asking.ask_found(d, question.then)


add_grant(AskFound, _found_one, otherwise=_not_found)
add_grant(AskWithout, _without, anew=("found", "go_back"))
