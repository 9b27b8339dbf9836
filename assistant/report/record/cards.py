"""What stands on the pages of the preparation, in words."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.language.port import Language
from assistant.procedure.model import Item, Person, Procedure
from assistant.session.places import CardPlace, places_of


def thing_words(procedure: Procedure, language: Language) -> Mapping[str, tuple[str, ...]]:
    """Return the things of each card of the preparation, by its key."""
    return {
        place.key: tuple(_words(thing, language) for thing in place.things)
        for place in places_of(procedure)
        if isinstance(place, CardPlace)
    }


def _words(thing: str | Person | Item, language: Language) -> str:
    match thing:
        case Person(kind=kind, count=count):
            return language.steps.person(kind, count)
        case Item():
            return language.steps.item(thing.name, thing.quantity, thing.unit, single_use=thing.single_use)
    return thing
