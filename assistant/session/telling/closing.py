"""What is said of what is open, and of the closing of the job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.facts.asking import AskFinish
from assistant.facts.going import Closed, Wordiness
from assistant.fastening.chunks import MOST_THINGS
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.session.open_things import extra_open, open_places, pages, problems, things_open
from assistant.session.part import OpenKind, OpenThing
from assistant.session.places import StepPlace
from assistant.session.telling import extra, photos, second, troubles
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def called(t: Telling) -> Mapping[str, StepAt]:
    """Return how each step is called, by its id and in order."""
    return {place.key: place.called for place in t.job.places if isinstance(place, StepPlace)}


def open_words(t: Telling, _: AskFinish) -> list[str]:
    """Say what is open: by name when it is at most four things, else how much of each kind, the gravest first."""
    steps, keys = called(t), open_places(t)
    named = {*keys, *t.state.skipped}
    found = things_open(t, named)
    apart = pages(t, [*keys, *t.state.skipped])
    of = t.language.lists
    held = troubles.trouble_names(t)
    names = [
        *held,
        *_troubles(t, found),
        *([of.open_preparation(len(apart))] if apart else []),
        *(of.open_step(steps[key]) for key in keys if key in steps),
        *(of.open_left_out(steps[key]) for key in t.state.skipped if key in steps),
        *_named(t, [thing for thing in found if thing.kind in _OF_STEPS]),
        *second.open_names(t),
        *photos.steps_without_photo(t),
    ]
    if not names:
        return []
    if len(names) > MOST_THINGS:
        names = _held_first(
            t,
            held,
            [
                *_kinds(t, found),
                ("step", sum(key in steps for key in keys)),
                ("stage", _number(things_open(t), OpenKind.STAGE)),
                ("part", _number(things_open(t), OpenKind.PART)),
                ("witness", len(second.open_names(t))),
                ("photo", len(photos.steps_without_photo(t))),
                ("left_out", sum(key in steps for key in t.state.skipped)),
                ("preparation", len(apart)),
            ],
        )
    return of.open_items(names)


def trouble_words(t: Telling) -> list[str]:
    """Say what went wrong or was left out, and was not put right: by name when it is at most four things, else by kind.

    Steps that are still to come are no trouble.
    """
    steps = called(t)
    named = {*open_places(t), *t.state.skipped}
    found = things_open(t, named)
    left_out = [steps[key] for key in t.state.skipped if key in steps]
    held = troubles.trouble_names(t)
    names = [
        *held,
        *_troubles(t, found),
        *(t.language.lists.open_left_out(step) for step in left_out),
        *_named(t, [thing for thing in found if thing.kind in _OF_STEPS]),
        *second.open_names(t),
        *photos.steps_without_photo(t),
    ]
    if len(names) > MOST_THINGS:
        slack = ("stage", _number(found, OpenKind.STAGE))
        seen = ("witness", len(second.open_names(t)))
        lacking = ("photo", len(photos.steps_without_photo(t)))
        names = _held_first(t, held, [*_kinds(t, found), slack, ("left_out", len(left_out)), seen, lacking])
    return t.language.lists.open_items(names) if names else []


_OF_STEPS = (OpenKind.STAGE, OpenKind.PART)
"""What is to be done still, told behind the steps that are; all else went wrong."""


def _troubles(t: Telling, found: Sequence[OpenThing]) -> list[str]:
    """Name what went wrong, the gravest first."""
    steps = called(t)
    told = [t.language.lists.open_problem(steps.get(step), words) for step, words in problems(t)]
    told += extra.open_extra(t)
    return [*told, *_named(t, [thing for thing in found if thing.kind not in _OF_STEPS])]


def _named(t: Telling, found: Sequence[OpenThing]) -> list[str]:
    return [thing.name(t.language) for thing in found if thing.name is not None]


def _kinds(t: Telling, found: Sequence[OpenThing]) -> list[tuple[str, int]]:
    """Return how much of each kind went wrong, the gravest first."""
    bolts = sum(len(thing.about) for thing in found if thing.kind is OpenKind.BOLTS)
    return [
        ("problem", len(problems(t))),
        ("extra", len(extra_open(t))),
        ("count", _number(found, OpenKind.COUNT)),
        ("value", _number(found, OpenKind.VALUE) + bolts),
        ("doubt", sum(len(thing.about) for thing in found if thing.kind is OpenKind.DOUBT)),
        ("answer", _number(found, OpenKind.ANSWER)),
        ("reading", _number(found, OpenKind.READING)),
    ]


def _number(found: Sequence[OpenThing], kind: OpenKind) -> int:
    return sum(thing.kind is kind for thing in found)


def held_open_words(t: Telling) -> list[str]:
    """Say what is held open, and what may lie in the machine, for whoever takes the job over."""
    names = _at_most(t, troubles.trouble_names(t), MOST_THINGS)
    return t.language.lists.open_items(names) if names else []


def _held_first(t: Telling, held: Sequence[str], kinds: Sequence[tuple[str, int]]) -> list[str]:
    """Name what is held open, then say how much there is of each other kind: at most four sentences."""
    named = _at_most(t, held, MOST_THINGS - 1 if any(number for _, number in kinds) else MOST_THINGS)
    return [*named, *_by_kind(t, kinds, MOST_THINGS - len(named))]


def _at_most(t: Telling, names: Sequence[str], most: int) -> list[str]:
    if len(names) <= most:
        return list(names)
    return [*names[: most - 1], t.language.lists.open_of_kind("held_open", len(names) - most + 1)]


def _by_kind(t: Telling, kinds: Sequence[tuple[str, int]], most: int) -> list[str]:
    """Say how much there is of each kind, in at most so many sentences."""
    some = [(kind, number) for kind, number in kinds if number]
    if len(some) > most:
        rest = sum(number for _, number in some[most - 1 :])
        some = [*some[: most - 1], ("other", rest)]
    return [t.language.lists.open_of_kind(kind, number) for kind, number in some]


def finish_words(t: Telling, _: AskFinish) -> list[str]:
    """Return the question whether the job is closed, with nothing open."""
    return [t.text(Sentence.FINISH_NOW)]


def finish_summary(t: Telling, _: AskFinish) -> str:
    """Return what closing it with open things means."""
    return t.text(Sentence.FINISH_OPEN)


@tells(Closed)
def _closed(t: Telling, _: Closed) -> None:
    t.fixed(Sentence.CLOSED, *([Sentence.AFTERWARDS] if t.before.state.wordiness is Wordiness.FULL else []))


add_read_back(AskFinish, ReadBack(finish_words, summary=finish_summary, told=open_words, before_reason=open_words))
