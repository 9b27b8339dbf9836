"""What is said of the preparation: its cards and things, and what is missing."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.facts.asking import AskFound, AskSkipPlace, AskWithout
from assistant.facts.going import ItemFound, ItemMissing, ThingAsked
from assistant.facts.inputs import Understood
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.procedure.model import Item, Person
from assistant.session.job import Job
from assistant.session.places import CardPlace
from assistant.session.state import ThingKey
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def card_things(job: Job, card: str, language: Language) -> list[str]:
    """Return how the things of the card with the key ``card`` are called."""
    place = job.places[job.index[card]]
    return [_called(thing, language) for thing in place.things] if isinstance(place, CardPlace) else []


def _called(thing: str | Person | Item, language: Language) -> str:
    match thing:
        case Person():
            return language.steps.person(thing.kind, thing.count)
        case Item():
            return language.steps.item(thing.name, thing.quantity, thing.unit, single_use=thing.single_use)
        case _:
            return thing


def _name(t: Telling, thing: ThingKey) -> str:
    return card_things(t.job, thing[0], t.language)[thing[1] - 1]


def missing_words(t: Telling, things: Iterable[ThingKey], *, still: bool = False) -> list[str]:
    """Return what of ``things`` is missing, and which of them are conditions that are not so yet."""
    conditions: list[str] = []
    others: list[str] = []
    for thing in things:
        place = t.job.places[t.job.index[thing[0]]]
        is_condition = isinstance(place, CardPlace) and isinstance(place.things[thing[1] - 1], str)
        (conditions if is_condition else others).append(_name(t, thing))
    return t.language.lists.missing(others, conditions, still=still)


def card_words(t: Telling, card: CardPlace) -> list[str]:
    """Return a card, or the thing of it that is asked for."""
    names = card_things(t.job, card.key, t.language)
    if t.state.thing:
        return [t.language.steps.thing(names[t.state.thing - 1])]
    here = [thing for thing in t.state.missing if thing[0] == card.key]
    before = t.before.place
    more = isinstance(before, CardPlace) and before.what == card.what and before is not card and not t.in_full
    return [t.language.steps.card(card.what, names, more=more), *missing_words(t, here, still=True)]


@tells(ThingAsked)
def _thing_asked(t: Telling, fact: ThingAsked) -> None:
    place = t.place
    if not isinstance(place, CardPlace):
        return
    begins = fact.number == 1 and not t.before.state.thing
    if begins:
        t.fixed(Sentence.THING_BY_THING)
    t.say(*card_words(t, place))
    if begins:
        t.fixed(Sentence.HINT_MISSING)


@tells(ItemMissing)
def _item_missing(t: Telling, fact: ItemMissing) -> None:
    t.say(*thing_missing(t, (fact.place, fact.number)))


def thing_missing(t: Telling, thing: ThingKey) -> list[str]:
    """Return that a thing is missing; nothing where it is all that is missing, and that is read back at once."""
    waiting = t.state.waiting
    read_back = waiting is not None and isinstance(waiting.question, AskWithout) and t.state.missing == (thing,)
    return [] if read_back else missing_words(t, [thing])


@tells(ItemFound)
def _item_found(t: Telling, fact: ItemFound) -> None:
    """Say what was found, but where it was found by going through its card: "next" says so."""
    given = t.facts[0]
    if isinstance(given, Understood) and given.intent == "next":
        return
    t.say(t.language.lists.found(_name(t, (fact.place, fact.number))))
    if not t.after.state.missing:
        t.fixed(Sentence.NOTHING_MISSING)


def what_missing(t: Telling) -> list[str]:
    """Answer what is missing."""
    return missing_words(t, t.state.missing) or [t.text(Sentence.NOTHING_MISSING)]


# What is read back


def card_skip_summary(t: Telling, _: AskSkipPlace) -> str:
    """Return what leaving a card out means."""
    return t.text(Sentence.SKIP_PREPARATION)


def found_words(t: Telling, question: AskFound) -> list[str]:
    """Return the question whether a thing is here now."""
    return [t.language.lists.found_ask(_name(t, (question.place, question.number)))]


def without_words(t: Telling, _: AskWithout) -> list[str]:
    """Return what is missing before the work begins, and what can be said."""
    return [*missing_words(t, t.state.missing), t.text(Sentence.GO_WITHOUT)]


def without_summary(t: Telling, _: AskWithout) -> str:
    """Return what going without means."""
    return t.text(Sentence.WITHOUT)


add_read_back(AskSkipPlace, ReadBack(summary=card_skip_summary))
add_read_back(AskFound, ReadBack(found_words))
add_read_back(AskWithout, ReadBack(without_words, summary=without_summary))
