"""A step that tightens groups of bolts through stages."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from assistant.events import Command
from assistant.facts.going import RefusedWhy
from assistant.language.sentence import Sentence
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import gates, turning
from assistant.session.chunks import Chunk, bolt_key, bolt_place, chunks_in, only_slackens, turns_left
from assistant.session.deciding import judging, measuring, reaching, tightening, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.units import unit_acts
from assistant.session.here import Here
from assistant.session.judging import read_in
from assistant.session.kinds.tighten_of_bay import tools_of_bay
from assistant.session.kinds.tighten_pace import tightening_about
from assistant.session.kinds.tighten_picture import tightening_shown
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.stage_at import stage_named
from assistant.session.states import work_acts
from assistant.session.table import Act, PageMode, Row
from assistant.session.telling import bolts, bolts_to_come, presenting
from assistant.session.telling import judging as _judging  # noqa: F401  (what is said of bolts that strike)
from assistant.session.telling.stage_again import repeat_stage


def _refuses(why: RefusedWhy) -> Act:
    def refuse(d: Deciding, _: Command) -> None:
        d.refuse(why)

    return refuse


def _open(here: Here, step: TightenStep, named: Collection[str]) -> Sequence[OpenThing]:
    """Return the bolts whose reading is out of limits, and the stages that are not tight all over.

    Those of a step that is ``named`` as open itself are not told again.
    """
    found: list[OpenThing] = []
    at, state = here.job.step_at(step), here.state
    keys = [
        (bolt_key(here.job, step.id, index, offset), chunk)
        for index, chunk in enumerate(chunks_in(here.job, step.id))
        for offset in range(len(chunk.bolts))
    ]
    off = tuple((turn, bolt) for (_, turn, run, bolt), _ in keys if _is_off(here, (step.id, turn, run, bolt)))
    if off:
        numbers = list(dict.fromkeys(bolt for _, bolt in off))
        found.append(
            OpenThing(OpenKind.BOLTS, step.id, off, name=lambda language: language.lists.open_bolts(numbers, at))
        )
    doubts = tuple((bolt[1], bolt[3]) for bolt in state.doubts if bolt[0] == step.id)
    if doubts:
        doubted = [bolt for _, bolt in doubts]
        name = lambda language: language.judging.open_doubts(doubted)  # noqa: E731
        found.append(OpenThing(OpenKind.DOUBT, step.id, doubts, name=name))
    slack = dict.fromkeys(
        chunk.stage for key, chunk in keys if key not in state.bolts and not _is_out(here, key, chunk)
    )
    found += [_stage(here, step, stage) for stage in sorted(slack) if step.id not in named]
    return found


def _is_out(here: Here, bolt: tuple[str, int, int, int], chunk: Chunk) -> bool:
    """Return whether a bolt that was to be slackened broke, or is lost: it will not come loose any more."""
    return (chunk.group, bolt[3]) in here.state.troubled and only_slackens(here.job, bolt[0])


def _is_off(here: Here, bolt: tuple[str, int, int, int]) -> bool:
    return bolt in here.state.off or bolt in here.state.off_accepted


def _stage(here: Here, step: TightenStep, stage: int) -> OpenThing:
    at, named = here.job.step_at(step), stage_named(step, stage)
    return OpenThing(OpenKind.STAGE, step.id, (stage,), name=lambda language: language.lists.open_stage(named, at))


def _likely(_: Here) -> Sequence[Command]:
    return tuple(Command(intent) for intent in ("next", "which_bolts", "what_value"))


TIGHTENING = Row(
    turning.Standing.TIGHTENING,
    means="a stage, group by group",
    acts={
        "one_by_one": tightening.one_by_one,
        "reading": measuring.reading,
        **unit_acts(),
        "start_timer": timers.start_here,
        **work_acts(),
        "next": tightening.take_as_tight,
    },
    helps=("next", "which_bolts", "what_value", "one_by_one"),
    hint=Sentence.HINT_DONE,
    likely=_likely,
)
ONE_BOLT = Row(
    turning.Standing.ONE_BOLT,
    means="a stage, one bolt at a time",
    acts={
        "all_together": tightening.all_together,
        "reading": measuring.reading,
        **unit_acts(),
        "start_timer": timers.start_here,
        **work_acts(),
        "next": tightening.take_as_tight,
    },
    helps=("next", "which_bolts", "what_value", "all_together"),
    likely=_likely,
)
"""The bolts are taken one at a time."""
READ_OFF = Row(
    turning.Standing.READ_OFF,
    means="bolts one at a time, each read off beside its target: its final torque, or its angle",
    acts={
        "reading": judging.take_read,
        **unit_acts(),
        "start_timer": timers.start_here,
        **work_acts(),
        "next": judging.without_reading,
    },
    helps=("reading", "next", "which_bolts", "what_value"),
    leads_on=lambda _: ("reading", "next"),
    likely=_likely,
)
"""What is read off at each bolt is compared with its neighbours."""
RENEWING = Row(
    turning.Standing.RENEWING,
    means="fasteners that are used only once: waits for confirmed that they are new",
    acts={
        "confirmed": measuring.take_as_new,
        **unit_acts(),
        **work_acts(),
        "next": _refuses(RefusedWhy.PAST_NEW),
    },
    page=PageMode.ASKING,
    helps=("confirmed", "which_bolts", "repeat_step", "skip"),
    next_goes_on=lambda _: False,
    leads_on=lambda _: ("confirmed",),
    likely=lambda _: (Command("confirmed"),),
)
"""Fasteners of single use must be new, and nobody said yet that they are."""
OUT_OF_LIMITS = Row(
    turning.Standing.OUT_OF_LIMITS,
    means="a reading at a bolt was out of limits, and somebody must decide: again, as it is, or a new bolt",
    acts={
        "reading": measuring.reading,
        "do_again": measuring.again,
        "replace": measuring.ask_replace,
        **unit_acts(),
        **work_acts(),
        "next": _refuses(RefusedWhy.PAST_READING),
        "note": measuring.ask_why,
    },
    page=PageMode.ASKING,
    helps=("do_again", "note", "replace", "skip"),
    next_goes_on=lambda _: False,
    leads_on=lambda here: ("do_again", *["note"] * (not gates.holds(here, here.step)), "replace"),
    likely=lambda _: (),
)
"""A reading at a bolt is out of limits, and the bolt waits for a decision."""
TURNED = Row(
    turning.Standing.TURNED,
    means="bolts that got their further angle before: next goes on, tighten again once they were loosened",
    acts={
        "reading": judging.take_read,
        "do_again": measuring.again,
        "replace": measuring.ask_replace,
        "one_by_one": tightening.one_by_one,
        "all_together": tightening.all_together,
        **unit_acts(),
        **work_acts(),
        "next": tightening.pass_on,
    },
    page=PageMode.ASKING,
    helps=("next", "do_again", "replace", "one_by_one"),
)
"""The bolts got their further angle before: turned again they would be stretched too far."""
HOLDING = Row(
    turning.Standing.HELD,
    means="all that is left are bolts that broke, are stripped, lost or wrong: the step is not done before they are in",
    acts={**work_acts(), "next": _refuses(RefusedWhy.PAST_HELD)},
    page=PageMode.ASKING,
    helps=("bolt_replaced", "found", "skip", "skip_step"),
    next_goes_on=lambda _: False,
    leads_on=lambda _: ("bolt_replaced", "found", "skip"),
    likely=lambda _: (),
)
"""A bolt is held open, and the group is not done without it."""


def _groups(here: Here, step: TightenStep) -> Sequence[str]:
    place = bolt_place(here) if here.step is step else None
    now = [place[0].group] if place is not None else []
    return tuple(dict.fromkeys((*now, *(chunk.group for chunk in chunks_in(here.job, step.id)))))


MUST_LOOSEN = Row(
    turning.Standing.MUST_LOOSEN,
    means="bolts whose further angle was taken back: they are loosened or replaced before anything else",
    acts={
        "do_again": measuring.ask_loosened,
        "replace": measuring.ask_replace,
        "one_by_one": tightening.one_by_one,
        "all_together": tightening.all_together,
        **unit_acts(),
        **work_acts(),
        "next": _refuses(RefusedWhy.MUST_LOOSEN),
    },
    page=PageMode.ASKING,
    helps=("do_again", "replace", "one_by_one", "skip"),
    next_goes_on=lambda _: False,
    leads_on=lambda _: ("do_again", "replace"),
    likely=lambda _: (Command("do_again"),),
)
"""Words cannot undo a further angle."""

add_kind(
    TightenStep,
    StepPart(
        rows=(RENEWING, TIGHTENING, ONE_BOLT, READ_OFF, OUT_OF_LIMITS, TURNED, MUST_LOOSEN, HOLDING),
        standing=turning.standing,
        words=lambda t, _: presenting.present(t, whole=True),
        where=bolts.where_at_bolts,
        left=bolts.left,
        after_break=lambda t, _: presenting.after_break(t),
        in_unit=bolts.in_unit_words,
        read_in=read_in,
        picture=lambda here, step: {"tighten": tightening_shown(here, step)},
        tools=bolts.tool_names,
        share_left=turns_left,
        about=tightening_about,
        of_bay=tools_of_bay,
        arrive=reaching.front,
        settle=reaching.settle_bolts,
        begin_anew=reaching.drop_plans,
        back=tightening.back,
        return_to=reaching.return_to,
        leave_out=tightening.leave_out,
        answers={
            "which_bolts": bolts.which_bolts,
            "what_value": bolts.what_value,
            "which_tool": bolts.which_tool,
            "how_many": bolts.how_many_here,
            "repeat_stage": repeat_stage,
            "what_next": bolts_to_come.to_come,
        },
        open=_open,
        groups=_groups,
        due=lambda here, _: turning.pause_ms(here),
        told_anew=True,
    ),
)
