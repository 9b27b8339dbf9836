"""What is missing: told thing by thing in the preparation, listed, found later, and gone without for a reason."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.session import critical, moving, replies_lists, sentences
from assistant.session.engine import Engine
from assistant.session.places import Card
from assistant.session.state import Pending, Thing


def missing(e: Engine) -> None:
    """Take "missing": of a card with several things, go through it thing by thing, and mark the one that is asked."""
    place = e.place
    if not isinstance(place, Card):
        raise TypeError("Only things of the preparation can be missing.")
    if e.state.thing is None and len(place.things) > 1:
        e.state.thing = 0
        e.say(sentences.THING_BY_THING, replies_lists.thing(place.things[0]), sentences.HINT_MISSING)
        return
    _mark(e, place, e.state.thing or 0)
    _go_on(e, place)


def here(e: Engine, place: Card) -> None:
    """Take "next" on a card: the thing that is asked is here, or all of a card that was not gone through."""
    if e.state.thing is not None:
        _found(e, (place.key, e.state.thing))
        _go_on(e, place)
        return
    card_done(e, place)


def back(e: Engine) -> bool:
    """Go back to the thing before; False when the card is not gone through, or this is its first thing."""
    place = e.place
    if not isinstance(place, Card) or e.state.thing is None:
        return False
    if e.state.thing == 0:
        e.state.thing = None
    else:
        e.state.thing -= 1
    e.record("moved", to=place.key)
    moving.announce(e)
    return True


def _mark(e: Engine, place: Card, number: int) -> None:
    if (place.key, number) not in e.state.missing:
        e.state.missing[place.key, number] = place.things[number]
        e.record("item_missing", what=place.what, thing=place.things[number], place=place.key, number=number + 1)
    e.say(*replies_lists.missing({(place.key, number): place.things[number]}))


def _found(e: Engine, key: Thing) -> None:
    thing = e.state.missing.pop(key, None)
    if thing is not None:
        what = next(place.what for place in e.places if isinstance(place, Card) and place.key == key[0])
        e.record("item_found", what=what, thing=thing, place=key[0], number=key[1] + 1)


def _go_on(e: Engine, place: Card) -> None:
    """Go to the next thing of a card that is gone through; behind the last one the card is done."""
    at = (e.state.thing or 0) + 1
    if at < len(place.things):
        e.state.thing = at
        e.say(replies_lists.thing(place.things[at]))
        return
    card_done(e, place)


def card_done(e: Engine, place: Card) -> None:
    """Put down that a card was gone through, and go on; behind the last card, first read back what is missing."""
    state = e.state
    state.thing = None
    repeated = place.key in state.prepared
    state.prepared.add(place.key)
    state.skipped.pop(place.key, None)
    lacking = [thing for (key, _), thing in state.missing.items() if key == place.key]
    told = {"missing": lacking} if lacking else {}
    e.record("prepared", what=place.what, things=list(place.things), repeated=repeated, **told)
    leave(e)


def leave(e: Engine) -> None:
    """Go on from a card; before the work begins, what is missing is read back and must be gone without for a reason."""
    following = e.places[e.state.at + 1]
    open_things = [key for key in e.state.missing if key not in e.state.without]
    if isinstance(following, Card) or not open_things:
        moving.advance(e)
        return
    question = [*replies_lists.missing(e.state.missing), sentences.GO_WITHOUT]
    critical.offer(e, "go_without", sentences.WITHOUT, question)


def go_without(e: Engine, pending: Pending) -> None:
    """Begin the work without what is missing, for a reason."""
    e.record("deviation", step=None, what="missing", things=list(e.state.missing.values()), reason=pending.reason)
    e.state.without |= set(e.state.missing)
    moving.advance(e)


def found(e: Engine) -> None:
    """Take "item found": the only thing that is missing, or ask thing by thing."""
    keys = list(e.state.missing)
    place = e.place
    if isinstance(place, Card):  # those of this card first
        keys.sort(key=lambda key: key[0] != place.key)
    if not keys:
        e.say(sentences.NOTHING_MISSING)
    elif len(keys) == 1:
        _take(e, keys[0])
    else:
        ask(e, keys)


def ask(e: Engine, keys: Sequence[Thing]) -> None:
    """Ask for each of ``keys`` whether it is here now."""
    question = replies_lists.found_ask(e.state.missing[keys[0]])
    critical.ask(e, Pending("found", question, question, {"keys": [list(key) for key in keys]}, final=True))


def _keys(pending: Pending) -> list[Thing]:
    return [(str(place), int(number)) for place, number in pending.data["keys"]]


def _take(e: Engine, key: Thing) -> None:
    e.say(replies_lists.found(e.state.missing[key]))
    _found(e, key)
    if not e.state.missing:
        e.say(sentences.NOTHING_MISSING)


def found_one(e: Engine, pending: Pending) -> None:
    """Take the thing that was asked about as found, and ask about the next one."""
    first, *others = _keys(pending)
    _take(e, first)
    if others:
        ask(e, others)


def not_this_one(e: Engine, pending: Pending) -> None:
    """Leave the thing that was asked about missing, and ask about the next one."""
    _, *others = _keys(pending)
    if others:
        ask(e, others)
    else:
        e.say(*replies_lists.missing(e.state.missing))


def what_missing(e: Engine) -> None:
    """Say what is missing."""
    e.say(*(replies_lists.missing(e.state.missing) or [sentences.NOTHING_MISSING]))
