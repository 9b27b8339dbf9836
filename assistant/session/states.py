"""The states that no kind of step brings: the preparation, hazards, the end, and what lies over the work.

A state of the work takes what all of them share (:func:`work_acts`) beside what is its own.
"""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.going import RefusedWhy
from assistant.language.sentence import Sentence
from assistant.session import gates, shims
from assistant.session.common import Common
from assistant.session.deciding import (
    asking,
    clocking,
    closing,
    correcting,
    detours,
    extra,
    hazards,
    helpers,
    moving,
    people,
    photos,
    preparing,
    reminders,
    second,
    taking_back,
    troubles,
    wordiness,
)
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.units import unit_acts
from assistant.session.here import Here
from assistant.session.intents import CORRECT, KNOBS, QUESTIONS, WORDS
from assistant.session.table import Act, Layer, PageMode, Row, add_rows


def _answered(_d: Deciding, _command: Command) -> None:
    """Put nothing: a question is answered, or the voice turned, when it is told."""


def _refuses(why: RefusedWhy) -> Act:
    return lambda d, _: d.refuse(why)


def work_acts() -> dict[str, Act]:
    """Return what every state of the work takes; a kind of step puts its own way of "next" in the place of this one."""
    return {
        "next": moving.next_or_ask,
        "go_back": moving.go_back,
        "take_back": taking_back.take_back,
        "go_to": detours.go_to,
        "go_back_by": detours.go_back_by,
        "where_i_was": detours.go_where_i_was,
        "skip": moving.skip,
        "skip_step": moving.skip,
        "found": troubles.take_any_found,
        "bolt_broke": troubles.ask_held(TroubleWhat.BROKEN),
        "bolt_stripped": troubles.ask_held(TroubleWhat.STRIPPED),
        "bolt_lost": troubles.ask_held(TroubleWhat.LOST),
        "bolt_wrong": troubles.ask_held(TroubleWhat.WRONG),
        "wrong_bolt": troubles.wrong_bolt,
        "dropped": troubles.take_dropped,
        "bolt_replaced": troubles.ask_freed(FreedHow.REPLACED),
        "bolt_again": troubles.ask_freed(FreedHow.AGAIN),
        "bolt_left": troubles.ask_left,
        "release": second.ask_release,
        "witness": second.ask_witness,
        "note": asking.note,
        CORRECT: correcting.correct_words,
        "photo": photos.ask_photo,
        "no_photo": photos.no_photo,
        "drop_photo": photos.drop_last_photo,
        "problem": asking.problem,
        "finding": extra.finding,
        "extra_granted": extra.grant_work,
        "extra_granted_of": extra.grant_work,
        "extra_declined": extra.decline_work,
        "extra_declined_of": extra.decline_work,
        "start_extra": extra.start_work,
        "start_extra_of": extra.start_work,
        "extra_done": extra.work_is_done,
        "extra_done_of": extra.work_is_done,
        "extra_takes": clocking.take_minutes,
        "leave_extra": clocking.leave_finding,
        "helper_comes": helpers.helper_comes,
        "helper_comes_of": helpers.helper_comes,
        "helper_leaves": helpers.helper_leaves,
        "helper_leaves_of": helpers.helper_leaves,
        "next_shim": shims.next_shim,
        "pause": moving.pause,
        "remind": reminders.set_reminder,
        "forget_reminder": reminders.forget_reminders,
        "hand_over": people.ask_to_leave,
        "finish": closing.finish,
        **wordiness.acts(),
        **dict.fromkeys((*QUESTIONS, *KNOBS), _answered),
    }


def was_done(here: Here) -> bool:
    """Return whether the present step was done before: then "next" goes on where it else asks for an answer.

    It does not at a gate that is not passed.
    """
    return here.place.key in here.state.done and not gates.holds(here, here.step)


def second_leads_on(here: Here) -> tuple[str, ...]:
    """Return what leads on while a second person is asked for by name."""
    named = ("operator",) if here.may_be_second else ()
    return (*named, "next" if gates.may_go_on_without(here) else "cancel")


def _own_word(name: str, word: str, means: str) -> Row:
    """Return the state that waits for the word of a second person."""
    return Row(
        name,
        means=means,
        acts={**dict.fromkeys((word, "cancel", "no"), asking.confirming), "confirmed": asking.confirming},
        layer=Layer.OVER,
        below=asking.confirming,
        page=PageMode.ASKING,
        helps=(word, "cancel", "repeat"),
        leads_on=lambda _: (word, "cancel"),
        likely=lambda _: (Command(word),),
    )


add_rows(
    Row(Common.NEW, acts={}, means="not opened yet", layer=Layer.BEGIN, likely=lambda _: ()),
    Row(
        Common.PREPARING,
        means="conditions, people, equipment, supplies, spares and safety, at most four things at a time",
        acts={
            "missing": preparing.take_missing,
            **unit_acts(),
            **work_acts(),
            "next": preparing.take_next,
            "go_back": preparing.thing_back,
            "skip": preparing.skip_card,
            "skip_step": preparing.skip_card,
        },
        helps=("next", "missing", "repeat", "go_back"),
        leads_on=lambda here: ("next", "missing") if here.state.thing else ("next",),
        hint=Sentence.HINT_NEXT,
    ),
    Row(
        Common.HAZARD,
        means="a hazard was read and waits for confirmed; next does not pass it",
        acts={"confirmed": hazards.acknowledge, **work_acts(), "next": _refuses(RefusedWhy.PAST_HAZARD)},
        helps=("confirmed", "repeat", "go_back", "pause"),
        next_goes_on=lambda _: False,
        leads_on=lambda _: ("confirmed",),
        likely=lambda _: (Command("confirmed"),),
    ),
    Row(
        Common.DROPPED,
        means="closing steps and the end ask whether what was dropped came out again; next does not pass it",
        acts={
            "yes": troubles.came_out,
            "no": troubles.not_out,
            **work_acts(),
            "next": _refuses(RefusedWhy.PAST_DROPPED),
            "skip": troubles.not_out,
        },
        page=PageMode.ASKING,
        helps=("found", "no", "repeat", "go_back"),
        next_goes_on=lambda _: False,
        leads_on=lambda _: ("found", "no"),
        likely=lambda _: (Command("found"),),
    ),
    Row(
        Common.FINISHING,
        means="behind the last step",
        acts={**work_acts(), "next": _refuses(RefusedWhy.ALL_DONE)},
        helps=("finish", "left", "go_back", "note"),
        leads_on=lambda _: ("finish",),
        next_goes_on=lambda _: False,
    ),
    Row(
        Common.CONFIRMING,
        means="something was read back; only confirmed carries it out, and all but a question cancels it",
        acts={**dict.fromkeys(("confirmed", "cancel", "no"), asking.confirming), CORRECT: correcting.correct_words},
        layer=Layer.OVER,
        below=asking.confirming,
        onto=(Common.DICTATION, Common.GRANTED_HOW, Common.SEVERITY),
        page=PageMode.ASKING,
        helps=("confirmed", "cancel", "repeat"),
        leads_on=lambda _: ("confirmed", "cancel"),
        likely=lambda _: (Command("confirmed"),),
    ),
    Row(
        Common.DICTATION,
        means="words are taken down until end note",
        acts={
            "end_note": asking.end_note,
            "cancel": asking.said_cancel,
            "be_quiet": _answered,
            WORDS: asking.words,
        },
        layer=Layer.OVER,
        free_speech=True,
        onto=(Common.CONFIRMING, Common.SEVERITY, Common.RELEASING),
        page=PageMode.DICTATION,
        helps=("end_note", "cancel"),
        leads_on=lambda here: ("cancel",) if correcting.said_again(here) else ("end_note",),
        likely=lambda _: (),
    ),
    Row(
        Common.HAND_OVER,
        means="somebody left the job and nobody has taken it over yet",
        acts={
            "take_over": people.take_over,
            "operator": people.operator,
            "cancel": people.stay,
            **dict.fromkeys(("repeat", "help", *KNOBS), _answered),
            WORDS: people.typed,
        },
        layer=Layer.OVER,
        page=PageMode.HAND_OVER,
        helps=("take_over", "cancel", "repeat"),
        leads_on=lambda here: ("take_over" if len(here.may_take_over) < 2 else "operator", "cancel"),
        likely=lambda _: (),
    ),
    Row(
        Common.NAMING,
        means="a second person is asked for by name: who releases a gate, or witnesses a step",
        acts={
            "operator": second.take_number,
            "next": second.without,
            "cancel": second.nobody,
            **dict.fromkeys(("repeat", "help", *KNOBS), _answered),
            WORDS: second.take_name,
        },
        layer=Layer.OVER,
        onto=(Common.DICTATION, Common.WITNESSING),
        page=PageMode.NAMING,
        helps=("operator", "next", "cancel"),
        leads_on=second_leads_on,
        likely=lambda _: (),
    ),
    _own_word(Common.RELEASING, "i_release", "a gate is to be released, and only the second person says the word"),
    _own_word(Common.WITNESSING, "i_have_seen", "a second person looks at a step, and only they say the word"),
    Row(
        Common.PAUSED,
        means="only carry on and a few questions are heard; timers run on",
        acts={
            "carry_on": moving.carry_on,
            **dict.fromkeys(("where", "time_left", "time", "repeat", "help"), _answered),
        },
        layer=Layer.OVER,
        page=PageMode.PAUSED,
        helps=("carry_on", "where", "time_left", "repeat"),
        leads_on=lambda _: ("carry_on",),
        likely=lambda _: (),
    ),
    Row(Common.CLOSED, acts={}, means="the end", layer=Layer.END, page=PageMode.CLOSED, likely=lambda _: ()),
)
