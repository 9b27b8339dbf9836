"""What is said where the job comes to: hazards, cards, steps, and why it does not go on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from assistant.facts.asking import AskSkipStep, Deviated, DeviationWhat
from assistant.facts.going import (
    Arrived,
    CarriedOn,
    HazardAcknowledged,
    HazardAgain,
    Paused,
    Refused,
    RefusedWhy,
    Wordiness,
    WordsChosen,
)
from assistant.language.sentence import Sentence
from assistant.procedure.model import Hazard
from assistant.session import gates
from assistant.session.extra_work import was_passed
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.photos import lacks
from assistant.session.places import AnyPlace, CardPlace, EndPlace, OfferPlace, SafetyPlace, StepPlace, StopPlace
from assistant.session.table import row_of
from assistant.session.telling import detours, extra, people, photos, preparing, second, steps, timers, troubles
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def hazard_words(t: Telling, hazard: Hazard, *, again: bool = False) -> str:
    """Return a hazard, with the question for the word; without it when it was acknowledged and is read ``again``."""
    words = t.language.steps.hazard(hazard.word.value, hazard.hazard, hazard.consequence, hazard.avoid)
    return words if again else f"{words} {t.prompt(Sentence.SAY_CONFIRMED)}".rstrip()


# Reading out a place


def announce(t: Telling) -> None:
    """Read out the present place: its unread hazard, or what is to be done there."""
    place = t.place
    if isinstance(place, StepPlace) and place.chapter and (place.key, 0) not in t.state.acknowledged:
        t.say(t.language.steps.chapter(place.chapter))
    if t.unread is not None:
        t.say(hazard_words(t, place.hazards[t.unread]))
        return
    if t.in_the_machine:
        t.say(*troubles.came_out_words(t, t.in_the_machine[:1]))
        t.fixed(Sentence.CAME_OUT)
        return
    match place:
        case CardPlace():
            t.say(*preparing.card_words(t, place))
        case OfferPlace():
            t.say(*extra.offer_words(t, place))
        case StopPlace():
            t.say(*t.language.extra.stops(passed=was_passed(t)))
        case EndPlace():
            _end(t)
        case StepPlace():
            t.say(*step_words(t, place))


def _end(t: Telling) -> None:
    """Say what is open behind the last step, or that nothing is."""
    t.say(*(detours.end_words(t) or [t.text(Sentence.ALL_DONE)]))


def step_words(t: Telling, place: StepPlace) -> list[str]:
    """Return the sentences of a step: its number, its command, and what its kind needs."""
    step, part = place.step, part_of(place.step)
    lines = [
        t.language.steps.step_number(place.called, place.of if _of_how_many(t, place) else None),
        *steps.lock_words(t, step),
        t.language.planning.takes_people(step.people) if step.people > 1 else "",
        t.language.steps.instruction(step.text),
        *steps.needs_words(t, step),
        detours.open_needs(t, place),
        *part.words(t, step),
        *second.gate_step_words(t, step),
        *photos.step_photo_words(t, place),
    ]
    if step.before_timer:
        lines.append(timers.open_time_words(t, step.before_timer))
    if step.id in t.state.done and not part.told_anew and not (gates.holds(t, step) or lacks(t, step)):
        lines.append(t.text(Sentence.DONE_BEFORE))
        if step.starts_timer:
            lines.append(t.text(Sentence.START_AGAIN))
    return lines


def _of_how_many(t: Telling, place: StepPlace) -> bool:
    """Return whether it is said how many steps there are: where a row of them begins, and behind a break."""
    return place.number == 1 or t.in_full or t.is_behind_a_break


def hint(t: Telling, known: frozenset[str]) -> None:
    """Tell what to say where that is needed for the first time; whoever works has stood at the places ``known``."""
    if t.unread is not None or t.in_the_machine or t.state.thing:
        return
    told = {one for key in known for one in _hints(t, t.job.places[t.job.index[key]])}
    t.say(*(t.prompt(one[1]) for one in _hints(t, t.place) if one not in told))


def _hints(here: Here, place: AnyPlace) -> Iterator[tuple[str, Sentence]]:
    """Yield what is told at the first place that is as ``place`` is, and in what it must be so."""
    if not isinstance(place, CardPlace | StepPlace):
        return
    if isinstance(place, StepPlace) and place.step.info:
        yield "info", Sentence.HINT_MORE
    row = row_of(here.working_at(place))
    if row.hint is not None:
        yield row.name, row.hint


@tells(Arrived)
def _arrived(t: Telling, fact: Arrived) -> None:
    if fact.place != t.state.place:
        return
    was_before = isinstance(t.before.place, CardPlace | SafetyPlace) and not t.before.place.within
    chapter = isinstance(t.place, StepPlace) and bool(t.place.chapter)
    if was_before and not isinstance(t.place, CardPlace | SafetyPlace) and (t.in_full or not chapter):
        t.fixed(Sentence.PREPARED)  # the name of a chapter says as much
    announce(t)
    hint(t, t.before.state.visited)


@tells(HazardAcknowledged)
def _acknowledged(t: Telling, fact: HazardAcknowledged) -> None:
    """Read out what comes behind a hazard at the same place; another one is read out as the job arrives there."""
    if fact.place == t.state.place:
        announce(t)
        if fact.place not in t.state.done:
            hint(t, t.state.visited - {fact.place})


@tells(HazardAgain)
def _again(t: Telling, fact: HazardAgain) -> None:
    t.fixed(Sentence.HEAR_HAZARD)
    t.say(hazard_words(t, t.place.hazards[fact.number - 1]))


@tells(Deviated)
def _deviated(t: Telling, fact: Deviated) -> None:
    """Say that a step may be done after its open time, and read it out again; all else goes on by itself."""
    if fact.what is DeviationWhat.OPEN_TIME:
        t.fixed(Sentence.WRITTEN_DOWN)
        announce(t)
    elif fact.what is DeviationWhat.BOLT_HELD:
        t.fixed(Sentence.WRITTEN_DOWN)
    elif fact.what is DeviationWhat.DROPPED:
        t.fixed(Sentence.WRITTEN_DOWN)
        asked_where(t)


def asked_where(t: Telling) -> None:
    """Read out the place where it was asked whether something came out: now it is the turn of what is done there."""
    if t.before.in_the_machine and t.before.unread is None:
        announce(t)


@tells(Paused)
def _paused(t: Telling, _: Paused) -> None:
    t.fixed(Sentence.PAUSED)


@tells(CarriedOn)
def _carried_on(t: Telling, _: CarriedOn) -> None:
    announce(t)
    hint(t, t.before.state.visited)


@tells(WordsChosen)
def _words_chosen(t: Telling, fact: WordsChosen) -> None:
    t.fixed(_HOW_MUCH[fact.how])


_HOW_MUCH = {
    Wordiness.FULL: Sentence.IN_FULL,
    Wordiness.USUAL: Sentence.AS_USUAL,
    Wordiness.SHORT: Sentence.IN_SHORT,
}


# What is refused

_WHY: Mapping[RefusedWhy, tuple[Sentence, ...]] = {
    RefusedWhy.PAST_HAZARD: (Sentence.NOT_PAST_HAZARD,),
    RefusedWhy.PAST_NEW: (Sentence.NOT_PAST_NEW,),
    RefusedWhy.PAST_READING: (Sentence.NOT_PAST_READING, Sentence.DECIDE),
    RefusedWhy.TOO_LATE: (Sentence.TOO_LATE,),
    RefusedWhy.START_OF_JOB: (Sentence.START_OF_JOB,),
    RefusedWhy.DONE_BEFORE: (Sentence.DONE_BEFORE,),
    RefusedWhy.BOLTS_DONE: (Sentence.BOLTS_DONE,),
    RefusedWhy.NOTHING_TO_SKIP: (Sentence.NOTHING_TO_SKIP,),
    RefusedWhy.SAFETY_STAYS: (Sentence.SAFETY_STAYS,),
    RefusedWhy.TURNED: (Sentence.TURNED, Sentence.TURNED_NEXT),
    RefusedWhy.NOTHING_TO_READ: (Sentence.NOTHING_TO_READ,),
    RefusedWhy.ONE_READING: (Sentence.ONE_READING,),
    RefusedWhy.TOGETHER: (Sentence.TOGETHER,),
    RefusedWhy.REPLACE_ONE: (Sentence.REPLACE_ONE,),
    RefusedWhy.NO_SUCH_OPERATOR: (Sentence.NO_SUCH_OPERATOR,),
    RefusedWhy.NO_TIMER_HERE: (Sentence.NO_TIMER_HERE,),
    RefusedWhy.NOTE_EMPTY: (Sentence.NOTE_EMPTY,),
    RefusedWhy.NO_DETOUR: (Sentence.NO_DETOUR,),
    RefusedWhy.NOTHING_MISSING: (Sentence.NOTHING_MISSING,),
    RefusedWhy.NO_MINUTES: (Sentence.NO_MINUTES,),
    RefusedWhy.NO_REMINDER: (Sentence.NO_REMINDER,),
    RefusedWhy.NO_SUCH_BOLT: (Sentence.NO_SUCH_BOLT,),
    RefusedWhy.WHICH_GROUP: (Sentence.WHICH_GROUP,),
    RefusedWhy.WHICH_BOLT: (Sentence.WHICH_BOLT,),
    RefusedWhy.NOTHING_FOUND: (Sentence.CANCELLED,),
    RefusedWhy.NOT_HELD: (Sentence.NOT_HELD,),
    RefusedWhy.HELD_BEFORE: (Sentence.HELD_BEFORE,),
    RefusedWhy.NOTHING_TO_TAKE_BACK: (Sentence.NOTHING_TO_TAKE_BACK,),
    RefusedWhy.MUST_LOOSEN: (Sentence.NOT_PAST_TURNED,),
    RefusedWhy.GATE_STAYS: (Sentence.GATE_STAYS, Sentence.RELEASE_HOW),
    RefusedWhy.NO_GATE: (Sentence.NO_GATE,),
    RefusedWhy.NO_WITNESS_WANTED: (Sentence.NO_WITNESS_WANTED,),
    RefusedWhy.SAME_PERSON: (Sentence.SAME_PERSON,),
    RefusedWhy.NO_PHOTO_WANTED: (Sentence.NO_PHOTO_WANTED,),
    RefusedWhy.NO_PHOTO: (Sentence.NO_PHOTO,),
}


def _asks(t: Telling) -> None:
    """Say what answers here; where nothing but going on does, say where this is."""
    step = t.step
    answer = part_of(step).answer(t, step) if step is not None else ""
    if isinstance(t.place, OfferPlace):
        t.say(t.language.extra.answer_offer())
    elif answer:
        t.say(answer)
    else:
        announce(t)


def _present(t: Telling) -> list[str]:
    return list(part_of(t.step).words(t, t.step)) if t.step is not None else []


_MORE: Mapping[RefusedWhy, Callable[[Telling], None]] = {
    RefusedWhy.ASKS: _asks,
    RefusedWhy.ALL_DONE: _end,
    RefusedWhy.START_OF_JOB: announce,
    RefusedWhy.STOPPED: lambda t: t.say(*t.language.extra.stops(passed=False)),
    RefusedWhy.FINDING_ANSWERED: lambda t: t.say(*t.language.customer.finding_answered()),
    RefusedWhy.NO_EXTRA: lambda t: t.say(t.language.extra.no_extra()),
    RefusedWhy.WHICH_EXTRA: lambda t: t.say(*extra.which_words(t)),
    RefusedWhy.NOT_GRANTED: lambda t: t.say(t.language.extra.not_granted()),
    RefusedWhy.NO_STEPS: lambda t: t.say(t.language.extra.no_steps()),
    RefusedWhy.HAS_STEPS: lambda t: t.say(t.language.extra.has_steps()),
    RefusedWhy.NO_SUCH_STEP: lambda t: t.say(t.language.extra.no_such_step()),
    RefusedWhy.PAST_DROPPED: announce,
    RefusedWhy.PAST_HELD: lambda t: t.say(*_present(t)),
    RefusedWhy.TIMER_RUNS: lambda t: t.say(timers.runs_words(t)),
    RefusedWhy.NO_SUCH_OPERATOR: lambda t: t.say(*(second.second_words(t, t.language) or people.who_words(t))),
    RefusedWhy.WHICH_HELPER: lambda t: t.say(*t.language.handover.which_helper(t.may_be_second)),
    RefusedWhy.HELPS_BEFORE: lambda t: t.say(t.language.handover.helps_before()),
    RefusedWhy.NO_HELPER: lambda t: t.say(t.language.handover.no_helper()),
    RefusedWhy.NO_SUCH_SHIM: lambda t: t.say(*t.language.shims.no_such_pack()),
    RefusedWhy.NOT_CLOCKED: lambda t: t.say(t.language.extra.not_clocked()),
    RefusedWhy.GATE_OPEN: lambda t: t.say(*second.gate_words(t)),
    RefusedWhy.OWN_WORD: lambda t: t.say(second.own_word(t)),
    RefusedWhy.WHO_FIRST: lambda t: t.say(*second.second_words(t, t.language)),
    RefusedWhy.WHICH_OPERATOR: lambda t: t.say(*people.who_words(t)),
    RefusedWhy.PHOTO_FIRST: lambda t: t.say(*photos.wanted_words(t)),
    RefusedWhy.PHOTOS_FULL: lambda t: t.say(t.language.photos.photos_full()),
}


def refused_words(t: Telling, why: RefusedWhy) -> list[str]:
    """Return what is said of every refusal for ``why``."""
    return [t.text(sentence) for sentence in _WHY.get(why, ())]


@tells(Refused)
def _refused(t: Telling, fact: Refused) -> None:
    tell_refused(t, fact.why)


def tell_refused(t: Telling, why: RefusedWhy) -> None:
    """Say why something was refused, and what leads on in its place."""
    t.say(*refused_words(t, why))
    if (more := _MORE.get(why)) is not None:
        more(t)


def step_skip_summary(t: Telling, question: AskSkipStep) -> str:
    """Return what leaving a step out means."""
    place = t.job.places[t.job.index[question.step]]
    return t.language.steps.skip_step(place.called) if isinstance(place, StepPlace) else ""


add_read_back(AskSkipStep, ReadBack(summary=step_skip_summary))
