"""Reading out the present bolts: the stage, what must be said before it, the tool and its setting, bolts and value."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.facts.going import Arrived, HazardAcknowledged, UnitChosen
from assistant.facts.inputs import Resumed
from assistant.facts.kinds.retightened import RetighteningCounted
from assistant.facts.kinds.tighten import BoltAgain, BoltsTaken, LongPause, NewConfirmed, Reached
from assistant.facts.people import HandedOver
from assistant.fastening.choice import Choice
from assistant.fastening.quantities import Torque
from assistant.language.sentence import Sentence
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_done, bolt_place, chunks_in, one_at_a_time, pointer
from assistant.session.telling import spots, stages, troubles
from assistant.session.telling.bolt_values import stroke_words, value_said
from assistant.session.telling.core import Telling
from assistant.session.telling.readings import off_words
from assistant.session.telling.retightening import spent_here
from assistant.session.telling.taking_bolts_back import loosen_words
from assistant.session.tools import chosen, named
from assistant.session.tools.values import is_plain
from assistant.session.turning import LONG_PAUSE_MS, Standing, is_turned, waited_ms

_PRESENTED = (Arrived, BoltAgain, BoltsTaken, HazardAcknowledged, NewConfirmed, Reached, UnitChosen)
"""Facts with which the present bolts are read out."""


def present(t: Telling, *, whole: bool, anew: bool = False, next_time: bool = False) -> list[str]:
    """Return the present bolts and value, with the stage when ``whole``; tool and setting are said ``anew``.

    ``next_time`` says that the pass is that before once more: then only for which time, and the value.
    """
    step, place = t.step, bolt_place(t)
    if place is None or not isinstance(step, TightenStep):
        return [t.text(Sentence.BOLTS_DONE)]
    chunk, bolts, index, offset = place
    lines = (
        stages.stage_words(t, step, chunk) if whole else stages.repetition_words(t, step, chunk) if next_time else []
    )
    if t.base == Standing.HELD:
        return troubles.held_back_words(t, chunk.group, bolts[0])
    if t.base == Standing.RENEWING:
        return [*lines, new_words(t, chunk)]
    if t.base == Standing.MUST_LOOSEN:
        return loosen_words(t, chunk, bolts)
    if is_turned(t):
        called = [called_words(t, chunk, bolts), spot_words(t, chunk, bolts)]
        return [t.text(Sentence.TURNED), *lines, *called, t.text(Sentence.TURNED_NEXT)]
    if whole or anew:
        lines += stages.before_stage(t, step, chunk)
    lines += _pause_words(t)
    before = chunks_in(t.job, step.id)[index - 1] if index else None
    known = not (whole or anew) and (offset > 0 or (before is not None and same_target(before, chunk)))
    lines += _first(t, step, chunk, anew=whole or anew, known=known)
    other = before is None or before.group != chunk.group or (before.turn != chunk.turn and not next_time)
    fresh = offset == 0 and other
    if (whole or fresh) and len({one.group for one in chunks_in(t.job, step.id)}) > 1:
        lines.append(group_words(t, chunk))
    lines += torque_missing(t, step, chunk, bolts, index)
    same = next_time and len([one for one in chunks_in(t.job, step.id) if one.turn == chunk.turn]) == 1
    said = () if same and bolts == chunk.bolts and not one_at_a_time(t, chunk) else bolts
    lines += _values(t, step, chunk, said, anew=whole or anew, known=known and not next_time)
    if whole or anew:
        lines += stages.after_values(t, step, chunk, index)
        lines.append(t.language.judging.read_ask(chunk.within.read) if chunk.within.read else "")
    elif not known:
        lines += stages.new_warnings(t, step, chunk, index)
    if t.base == Standing.OUT_OF_LIMITS:
        lines += off_words(t)
    return lines


def same_target(one: Chunk, other: Chunk) -> bool:
    """Return whether bolts of two chunks are taken to the same value in the same way."""
    return one.target == other.target and one.way is other.way


# A long pause


def _pause_words(t: Telling) -> list[str]:
    """Return that the bolts waited long before their further angle, where that is told as they are read out."""
    pauses = [fact for fact in t.facts if isinstance(fact, LongPause) and is_with_bolts(t, fact)]
    return t.language.bolts.long_pause(pauses[-1].seconds) if pauses else []


def is_with_bolts(t: Telling, pause: LongPause) -> bool:
    """Return whether a long pause is told as bolts are read out, or taken up again; else when its time comes."""
    if (t.has(Resumed) or t.has(HandedOver)) and t.phase == t.base:
        return True
    before = t.facts[: next(number for number, fact in enumerate(t.facts) if fact is pause)]
    return any(isinstance(fact, _PRESENTED) for fact in before)


# The bolts


def new_words(t: Telling, chunk: Chunk) -> str:
    """Ask for the word that the fasteners of a group are new, or those in the place of some that are too long."""
    group, place = t.job.groups[chunk.group], bolt_place(t)
    spent = spent_here(t, chunk, place[1]) if place else []
    if spent:
        return t.language.judging.new_for_spent(spent, told=t.has(RetighteningCounted))
    old = [bolt for bolt in place[1] if (group.id, bolt) in t.state.worn & t.state.too_long] if place else []
    if old:
        return t.language.bolts.new_in_place(old)
    return t.language.bolts.new_ask(group.name, len(group.bolts))


def group_words(t: Telling, chunk: Chunk) -> str:
    """Say which group comes."""
    group = t.job.groups[chunk.group]
    return t.language.bolts.group_name(group.name, group.size if _is_first_told(t, chunk) else "")


def called_words(t: Telling, chunk: Chunk, bolts: tuple[int, ...]) -> str:
    """Say bolts, and that they are turned at the same time; "" for none."""
    if not bolts:
        return ""
    return (t.language.bolts.together if chunk.within.together else t.language.bolts.bolts)(bolts)


def hidden_words(t: Telling, chunk: Chunk, bolts: tuple[int, ...]) -> str:
    """Call out the hidden ones among bolts, or ""."""
    in_full = _is_first_told(t, chunk)
    return t.language.bolts.hidden(
        [(one.bolt, one.where if in_full else "") for one in t.job.groups[chunk.group].hidden if one.bolt in bolts]
    )


def _is_first_told(t: Telling, chunk: Chunk) -> bool:
    """Return whether size and hidden places of a group are told: in its first pass of the step, and behind a break."""
    step = t.step
    first = step is None or all(one.turn >= chunk.turn for one in chunks_in(t.job, step.id) if one.group == chunk.group)
    return first or t.in_full or t.is_behind_a_break


def spot_words(t: Telling, chunk: Chunk, bolts: tuple[int, ...]) -> str:
    """Return where a bolt sits when they are taken one at a time; "" when the map of its group does not say."""
    alone = one_at_a_time(t, chunk) and len(bolts) == 1
    return spots.where_it_sits(t.language.bolts, t.job.groups[chunk.group], bolts[0]) if alone else ""


def torque_missing(t: Telling, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...], index: int) -> list[str]:
    """Return that the torque on which the further angle of ``bolts`` counts was left out, here or in a step before."""
    if chunk.way is not Way.ANGLE:
        return []
    steps = t.job.steps_of(TightenStep)
    wanted, left = set(bolts), set[int]()
    for one in reversed(steps[: steps.index(step) + 1]):
        chunks = chunks_in(t.job, one.id)
        for at in reversed(range(index if one is step else len(chunks))):
            if (
                chunks[at].group != chunk.group
                or chunks[at].way is not Way.TORQUE
                or wanted.isdisjoint(chunks[at].bolts)
            ):
                continue
            for where, bolt in enumerate(chunks[at].bolts):
                if bolt in wanted and not bolt_done(t, one, at, where):
                    left.add(bolt)
            wanted -= set(chunks[at].bolts)
            if not wanted:
                break
    return t.language.bolts.no_torque([bolt for bolt in bolts if bolt in left]) if left else []


# Tool and value


def lead_words(t: Telling, leads: tuple[named.Lead, ...]) -> list[str]:
    """Return why the tool that the procedure names is not used as it stands there."""
    return [t.language.tools.lead(one.code, one.name) for one in leads]


def _first(t: Telling, step: TightenStep, chunk: Chunk, *, anew: bool, known: bool) -> list[str]:
    """Return why the tool that the procedure names is not used as it stands there, when the tool is said."""
    choice = chosen.choice_at(t)
    told: object = not known
    if choice is not None:
        told = t.language.tools.tool_words(choice, None if anew else _choice_before(t, step))
    return lead_words(t, _leads_here(t, step, chunk)) if told else []


def _leads_here(t: Telling, step: TightenStep, chunk: Chunk) -> tuple[named.Lead, ...]:
    return chosen.leads_at(t, step, chunk, pointer(t, step)[0])


def _choice_before(t: Telling, step: TightenStep) -> Choice | None:
    """Return what the bolts right before the present ones were done with, in the same pass or the time before."""
    place = bolt_place(t)
    if place is None:
        return None
    chunk, _, index, offset = place
    before = offset == 0 and stages.is_next_time(t, step, chunk) and chunks_in(t.job, step.id)[index - 1].turn
    tools = chosen.stage_tools(t, step, before or chunk.turn)
    return tools.choices.get(index if offset else index - 1) if tools else None


def _choice_still_held(t: Telling, step: TightenStep, chunk: Chunk) -> Choice | None:
    """Return what the pass before ended with, where the job comes from it: that wrench is in the hand still.

    A multiplier is told anew, with its arm.
    """
    before = stages.goes_on_with(t, step, chunk)
    tools = chosen.stage_tools(t, step, before.turn) if before is not None else None
    last = tools.choices.get(pointer(t, step)[0] - 1) if tools is not None else None
    return None if last is None or last.multiplier is not None else last


def _values(
    t: Telling, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...], *, anew: bool, known: bool
) -> list[str]:
    """Return tool, bolts and value: one number when the setting is the target, both when they differ.

    Without ``bolts``, they are those that were said right before.
    """
    choice = chosen.choice_at(t)
    silent = known and not (t.in_full or t.has(BoltsTaken) or t.has(BoltAgain))  # the value was said, and still holds
    called = [called_words(t, chunk, bolts), spot_words(t, chunk, bolts)]
    hidden = hidden_words(t, chunk, bolts)
    if choice is None:
        if chosen.no_number(_leads_here(t, step, chunk)):
            return [*called, hidden]
        by_hand = t.box is None and chunk.of.adapter is not None
        strokes = [] if known else stroke_words(t, chunk)
        # Two strokes of thirty degrees are no sixteen: then the digits are not needed.
        value = [] if silent else value_said(t, chunk, surely=not (known or strokes), at_bolt=by_hand)
        more = [] if known else [t.language.bolts.add_drag(chunk.of.drag), *strokes]
        return [*called, *value, *more, hidden]
    last = _choice_still_held(t, step, chunk) if anew else _choice_before(t, step)
    words = t.language.tools.tool_words(choice, last, anyway=anew)
    if isinstance(chunk.target, Torque) and is_plain(t, chunk, choice):
        if words:
            return [*words, *called, hidden]
        value = [] if silent else value_said(t, chunk, surely=not known)
        return [*called, *value, hidden]
    if words:
        return [*called, *value_said(t, chunk, surely=True, at_bolt=True), *words, hidden]
    wrench = "" if silent else t.language.tools.wrench_at(choice.setting)
    return [*called, wrench, hidden]


# Behind a break


def after_break(t: Telling) -> list[str]:
    """Return what must be heard when a tightening is taken up again: a long pause, the tool and its setting."""
    step, place = t.step, bolt_place(t)
    if place is None or not isinstance(step, TightenStep):
        return []
    chunk, _, index, _ = place
    if t.base == Standing.RENEWING:
        return [new_words(t, chunk)]
    if t.base == Standing.MUST_LOOSEN:
        return loosen_words(t, chunk, place[1])
    if t.base == Standing.TURNED:
        # that they were done before is said with the place
        return [t.text(Sentence.OVERSTRETCH), t.text(Sentence.TURNED_NEXT)]
    now = tool_now(t) if chosen.choice_at(t) else _by_hand(t, step, chunk, index)
    since = waited_ms(t)
    is_long = since is not None and t.now_ms >= since + LONG_PAUSE_MS
    pause = t.language.bolts.long_pause((t.now_ms - (since or 0)) // 1000) if is_long else []
    return [*pause, *now, *stages.after_values(t, step, chunk, index), *off_words(t)]


def tool_now(t: Telling) -> list[str]:
    """Return what the present bolts are done with: tool and setting, as if said for the first time, or the gauge."""
    step, place = t.step, bolt_place(t)
    if place is None or not isinstance(step, TightenStep):
        return []
    choice = chosen.choice_at(t)
    first = lead_words(t, chosen.leads_at(t, step, place[0], place[2]))
    if choice is not None:
        return [*first, *t.language.tools.tool_words(choice, None)]
    return first or (stages.before_stage(t, step, place[0]) if t.box is not None else [])


def _by_hand(t: Telling, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return the value of bolts for which no tool is chosen, behind why there is none and what is turned with."""
    leads = chosen.leads_at(t, step, chunk, index)
    first = stages.before_stage(t, step, chunk) if t.box is not None else []
    by_hand = t.box is None and chunk.of.adapter is not None
    value = [] if chosen.no_number(leads) else value_said(t, chunk, surely=True, at_bolt=by_hand)
    return [*lead_words(t, leads), *first, *value]
