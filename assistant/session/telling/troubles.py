"""What is said of what is held open: bolts that broke, are stripped, lost or wrong, and what was dropped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.facts.codes import TroubleWhat
from assistant.facts.going import Arrived
from assistant.facts.kinds.tighten import Reached
from assistant.facts.kinds.trouble import (
    AskBoltFreed,
    AskBoltHeld,
    AskBoltLeft,
    AskDroppedFound,
    AskDroppedLeft,
    BoltFreed,
    BoltHeld,
    DroppedFound,
)
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.procedure.model import Step
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import chunks_in, only_slackens
from assistant.session.groups import groups_here
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.troubles import findable


def name_of_group(here: Here, group: str) -> str:
    """Return what a group is called."""
    known = here.job.groups.get(group)
    return known.name if known else group


_MAKER_KNOWS = frozenset({TroubleWhat.BROKEN, TroubleWhat.STRIPPED})
"""What is to be done about a broken bolt or a damaged thread stands in the maker's procedure."""

# Held open


@tells(BoltHeld)
def _held(t: Telling, fact: BoltHeld) -> None:
    t.say(t.language.troubles.held(fact.bolt))
    here = t.step.id if t.step is not None else ""
    t.say(
        *(t.language.troubles.open_again(t.job.step_at(step)) for step in _steps(t, fact.reopened) if step.id != here)
    )
    cautioned = t.before.state.cautioned
    if fact.what is TroubleWhat.LOST and not cautioned & {TroubleWhat.LOST, "dropped"}:
        t.fixed(Sentence.TURN_NOTHING)
    elif fact.what in _MAKER_KNOWS and not cautioned & _MAKER_KNOWS:
        t.fixed(Sentence.MAKER_SAYS)


@tells(BoltFreed)
def _freed(t: Telling, fact: BoltFreed) -> None:
    """Say that a bolt is in again, and where it begins when that is not here."""
    t.say(t.language.troubles.freed(fact.bolt, fact.how))
    if t.has(Arrived) or t.has(Reached):
        return
    begun = next(_begun(t, fact.group, fact.bolt), None)
    if begun is not None:
        t.say(t.language.troubles.begins_in(begun))


def _steps(t: Telling, keys: Sequence[str]) -> Iterator[Step]:
    for key in keys:
        place = t.job.places[t.job.index[key]] if key in t.job.index else None
        if isinstance(place, StepPlace):
            yield place.step


def _begun(t: Telling, group: str, bolt: int) -> Iterator[StepAt]:
    """Yield the tightenings of a bolt that were come to, in order."""
    for step in t.job.steps_of(TightenStep):
        if step.id not in t.state.at_bolt or only_slackens(t.job, step.id):
            continue
        if any(chunk.group == group and bolt in chunk.bolts for chunk in chunks_in(t.job, step.id)):
            yield t.job.step_at(step)


def hold_words(t: Telling, question: AskBoltHeld) -> list[str]:
    """Read back what happened to a bolt, with its group, and what that undoes."""
    name = name_of_group(t, question.group)
    sure = question.group in groups_here(t) or len(t.job.groups) == 1
    *said, asks = t.language.troubles.held_ask(
        name, question.bolt, question.trouble, sure=sure, others=bool(question.others)
    )
    return [*said, t.language.troubles.counts_no_more() if _got_something(t, question) else "", asks]


def _got_something(t: Telling, question: AskBoltHeld) -> bool:
    return any(
        (step.id, chunk.turn, chunk.run, question.bolt) in t.state.bolts
        for step in t.job.steps_of(TightenStep)
        for chunk in chunks_in(t.job, step.id)
        if chunk.group == question.group and not only_slackens(t.job, step.id)
    )


def freed_words(t: Telling, question: AskBoltFreed) -> list[str]:
    """Ask whether a bolt is in again."""
    others = bool(question.others) or len(findable(t)) + len(t.state.missing) > 1
    name = name_of_group(t, question.group)
    return [t.language.troubles.freed_ask(name, question.bolt, question.how, others=others)]


def giving_up_summary(t: Telling, question: AskBoltLeft) -> str:
    """Say what going on without a bolt means."""
    return t.language.troubles.left_ask(name_of_group(t, question.group), question.bolt)


def giving_up_words(t: Telling, question: AskBoltLeft) -> list[str]:
    """Ask whether the work goes on without a bolt, where several groups have one of that number."""
    return [f"{giving_up_summary(t, question)}?", t.text(Sentence.CONFIRMED_OR_NO)]


def held_back_words(t: Telling, group: str, bolt: int) -> list[str]:
    """Say that a step waits for a bolt, and what can be said."""
    what = t.state.held[group, bolt].what
    return [t.language.troubles.waits(bolt, what), t.language.troubles.ways_out(bolt, what)]


# Dropped


def out_again_words(t: Telling, fact: DroppedFound) -> list[str]:
    """Say that what was dropped is out again."""
    loose = t.before.state.dropped.get(fact.number)
    if loose is None:
        return []
    return [t.language.troubles.out_again(_step(t, loose.step), _group(t, loose.group), loose.bolt)]


def _group(t: Telling, group: str) -> str:
    return name_of_group(t, group) if group else ""


def _step(t: Telling, step: str) -> StepAt | None:
    place = t.job.places[t.job.index[step]] if step in t.job.index else None
    return place.called if isinstance(place, StepPlace) else None


def came_out_words(t: Telling, numbers: Sequence[int]) -> list[str]:
    """Name what was dropped under ``numbers`` and is not out."""
    some = [t.state.dropped[number] for number in numbers]
    return [t.language.troubles.came_out_ask(_step(t, one.step), _group(t, one.group), one.bolt) for one in some]


def loose_words(t: Telling) -> list[str]:
    """Return what may lie in the machine, before a step that turns it: at most three things, then what not to do."""
    lost = [bolt for bolt, held in t.state.held.items() if held.what is TroubleWhat.LOST]
    say = t.language.troubles.came_out_ask
    named = [*came_out_words(t, list(t.state.dropped)), *(say(None, name_of_group(t, group), at) for group, at in lost)]
    return [*named[:3], t.text(Sentence.TURN_NOTHING)] if named else []


def out_words(t: Telling, question: AskDroppedFound) -> list[str]:
    """Ask whether what was dropped is out."""
    loose = t.state.dropped.get(question.number)
    if loose is None:
        return []
    others = len(findable(t)) + len(t.state.missing) > 1
    return [t.language.troubles.out_ask(_step(t, loose.step), _group(t, loose.group), loose.bolt, others=others)]


def before_left(t: Telling, question: AskDroppedLeft) -> list[str]:
    """Name what was dropped, before the reason is asked for."""
    return came_out_words(t, [question.number])


# What is open


def trouble_names(t: Telling) -> list[str]:
    """Name all that is held open, inside a sentence: what may lie in the machine first."""
    say, state = t.language.troubles, t.state
    return [
        *(say.open_dropped(_step(t, one.step), _group(t, one.group), one.bolt) for one in state.dropped.values()),
        *(
            say.open_bolt(name_of_group(t, group), bolt, one.what, given_up=one.given_up)
            for (group, bolt), one in state.held.items()
        ),
    ]


def troubles_shown(here: Here, language: Language) -> list[str]:
    """Return the same for a display, a text for each."""
    return trouble_names(Telling(here.job, here.state, (), here.now_ms, language, ""))


def known_words(t: Telling, group: str) -> str:
    """Say what is held open that a count of ``group`` may not agree for."""
    say, state = t.language.troubles, t.state
    return say.known_reason(
        [
            *(
                say.open_bolt(name_of_group(t, group), bolt, one.what, given_up=one.given_up)
                for (name, bolt), one in state.held.items()
                if name == group
            ),
            *(
                say.open_dropped(_step(t, one.step), _group(t, one.group), one.bolt)
                for one in state.dropped.values()
                if one.group in ("", group)
            ),
        ]
    )


add_read_back(AskBoltHeld, ReadBack(hold_words))
add_read_back(AskBoltFreed, ReadBack(freed_words))
add_read_back(AskBoltLeft, ReadBack(giving_up_words, summary=giving_up_summary))
add_read_back(AskDroppedFound, ReadBack(out_words))
add_read_back(AskDroppedLeft, ReadBack(summary=lambda t, _: t.text(Sentence.GO_ON_DROPPED), before_reason=before_left))
