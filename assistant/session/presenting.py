"""Reading out the present bolts: the stage, what must be said before it, the tool and its setting, bolts and value."""

from __future__ import annotations

from assistant.fastening.choice import Choice
from assistant.fastening.chunks import MOST_THINGS
from assistant.fastening.faults import Unfit, Why
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.programme import Way
from assistant.fastening.readings import Side
from assistant.fastening.turning import strokes
from assistant.fastening.units import Angle, Torque
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import named, places_spoken, reading_limits, replies, replies_bolts, sentences, tooling
from assistant.session.engine import Engine
from assistant.session.places import Chunk

LONG_PAUSE_MS = 30 * 60_000
"""A pause between torque and further angle that is worth a word; a design choice."""


def present(e: Engine, *, whole: bool, anew: bool = False) -> list[str]:
    """Return the present bolts and value, with the stage when ``whole``; tool and setting are said ``anew``."""
    step = e.step
    here = e.bolt_place()
    if here is None or not isinstance(step, TightenStep):
        return [sentences.BOLTS_DONE]
    chunk, bolts, index, offset = here
    lines = stage_words(e, step, chunk) if whole else []
    if e.base == "renewing":
        return [*lines, replies_bolts.new_ask(e.groups[chunk.group])]
    if is_turned(e):
        more = sentences.TURNED_NEXT if e.rules >= 3 else sentences.NEXT_GOES_ON
        return [sentences.TURNED, *lines, replies.bolts(bolts), where_words(e, chunk, bolts), more]
    if whole or anew:
        lines += before_stage(e, step, chunk)
    lines += pause_words(e)
    before = e.chunks[step.id][index - 1] if index else None
    known = not (whole or anew) and (offset > 0 or (before is not None and _same_target(before, chunk)))
    lines += _first(e, step, chunk, anew=whole or anew, known=known)
    fresh = offset == 0 and (before is None or before.turn != chunk.turn or before.group != chunk.group)
    if (whole or fresh) and len({one.group for one in e.chunks[step.id]}) > 1:
        lines.append(replies.group_name(e.groups[chunk.group]))
    lines += torque_missing(e, step, chunk, bolts, index)
    lines += _values(e, step, chunk, bolts, anew=whole or anew, known=known)
    if whole or anew:
        lines += after_values(e, step, chunk, index)
    elif not known:
        lines += _new_warnings(e, step, chunk, index)
    if e.base == "out_of_limits":
        lines += off_words(e)
    return lines


def _same_target(one: Chunk, other: Chunk) -> bool:
    return one.target == other.target and one.way is other.way


def _first(e: Engine, step: TightenStep, chunk: Chunk, *, anew: bool, known: bool) -> list[str]:
    """Return why the tool that the procedure names is not used as it stands there, when the tool is said."""
    choice = tooling.choice_at(e)
    told = not known if choice is None else replies_bolts.tool_words(choice, None if anew else _choice_before(e, step))
    return [replies_bolts.lead(one) for one in _leads_here(e, step, chunk)] if told else []


def _leads_here(e: Engine, step: TightenStep, chunk: Chunk) -> tuple[named.Lead, ...]:
    return tooling.leads_at(e, step, chunk, e.state.pointers.get(step.id, (0, 0))[0])


def _values(
    e: Engine, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...], *, anew: bool, known: bool
) -> list[str]:
    """Return tool, bolts and value: one number when the setting is the target, both when they differ."""
    choice = tooling.choice_at(e)
    called = [replies.bolts(bolts), where_words(e, chunk, bolts)]
    hidden = replies.hidden(e.groups[chunk.group], bolts)
    if choice is None:
        if tooling.no_number(_leads_here(e, step, chunk)):
            return [*called, hidden]
        by_hand = e.tools is None and chunk.of.adapter is not None
        value = value_words(e, chunk, surely=not known, at_bolt=by_hand)
        more = [] if known else [replies_bolts.add_drag(chunk.of.drag), *stroke_words(e, chunk)]
        return [*called, *value, *more, hidden]
    last = None if anew else _choice_before(e, step)
    words = replies_bolts.tool_words(choice, last)
    if isinstance(chunk.target, Torque) and tooling.is_plain(e, chunk, choice):
        if words:
            return [*words, *called, hidden]
        return [*called, *value_words(e, chunk, surely=not known), hidden]
    if words:
        return [*called, *value_words(e, chunk, surely=True, at_bolt=True), *words, hidden]
    return [*called, replies_bolts.wrench_at(choice.setting), hidden]


def _choice_before(e: Engine, step: TightenStep) -> Choice | None:
    """Return what the bolts right before the present ones were done with, in the same pass."""
    here = e.bolt_place()
    if here is None:
        return None
    chunk, _, index, offset = here
    tools = tooling.stage_tools(e, step, chunk.turn)
    return tools.choices.get(index if offset else index - 1) if tools else None


def stage_words(e: Engine, step: TightenStep, chunk: Chunk) -> list[str]:
    """Return which stage this is, with its note and its exception."""
    stage = step.stages[chunk.stage - 1]
    again = chunk.turn > next(one.turn for one in e.chunks[step.id] if one.stage == chunk.stage)
    return [
        replies.stage_number(chunk.stage, len(step.stages), again=again),
        sentences.CHECK_ONLY if chunk.way is Way.CHECK else "",
        sentences.STRETCHES if stage.to_yield else "",
        sentences.DRAFTED if any(run.drafted for run in stage.runs) else "",
        replies.sentence(stage.note),
        replies.sentence(stage.exception),
    ]


def is_turned(e: Engine) -> bool:
    """Return whether the present bolts got their further angle before, and were neither loosened nor replaced since."""
    step, here = e.step, e.bolt_place()
    if step is None or here is None:
        return False
    _, bolts, index, offset = here
    return all((step.id, index, offset + at) in e.state.turned for at in range(len(bolts)))


def torque_missing(e: Engine, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...], index: int) -> list[str]:
    """Return that the torque on which the further angle of ``bolts`` counts was left out, here or in a step before."""
    if chunk.way is not Way.ANGLE:
        return []
    steps = e.steps_of(TightenStep)
    for one in reversed(steps[: steps.index(step) + 1]):
        chunks = e.chunks[one.id]
        before = [at for at in range(index if one is step else len(chunks)) if chunks[at].group == chunk.group]
        torqued = [at for at in before if chunks[at].way is Way.TORQUE]
        if not torqued:
            continue
        last = [at for at in torqued if chunks[at].turn == chunks[torqued[-1]].turn]
        places = {bolt: (at, where) for at in last for where, bolt in enumerate(chunks[at].bolts)}
        left = [bolt for bolt in bolts if bolt in places and not e.bolt_done(one, *places[bolt])]
        return replies_bolts.no_torque(left) if left else []
    return []


def before_stage(e: Engine, step: TightenStep, chunk: Chunk) -> list[str]:
    """Return what must be heard before the first bolt, without a number: a crowfoot, the gauge, a multiplier."""
    tools = tooling.stage_tools(e, step, chunk.turn)
    lines = []
    if tools is None:
        runs = [one.of for one in e.chunks[step.id] if one.turn == chunk.turn]
        lines += [sentences.REACH_BY_HAND] if any(run.adapter for run in runs) else []
    elif tools.gauge is not None:
        lines.append(replies_bolts.use(tools.gauge.name))
    turned = named.turned_through(e, step, chunk)
    return [*lines, replies_bolts.between_tool(named.name_of(e, turned[0]))] if turned else lines


def after_values(e: Engine, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return what is wrong with the tools, behind the value: why the named one is not used, one that is due, an arm."""
    tools = tooling.stage_tools(e, step, chunk.turn)
    if tools is None:
        return []
    why = [lead.why for lead in tools.leads.get(index, ()) if lead.why is not None]
    told = dict.fromkeys((*why, *tools.faults, *tools.warned.get(index, ())))
    return [replies_bolts.trouble(fault) for fault in tuple(told)[:MOST_THINGS]]


def _new_warnings(e: Engine, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return what must be known about tools that come with these bolts, and not with those before them."""
    tools = tooling.stage_tools(e, step, chunk.turn)
    if tools is None:
        return []
    before = {_about(one) for one in tools.warned.get(index - 1, ())}
    new = [one for one in tools.warned.get(index, ()) if _about(one) not in before]
    return [replies_bolts.trouble(fault) for fault in new[:MOST_THINGS]]


def _about(warning: Unfit) -> tuple[Why, str, str]:
    """Return what makes a warning a new one: an arm that pushes harder does, another number low on a scale does not."""
    return warning.code, warning.tool, warning.reason if warning.code is Why.ARM else ""


def pause_ms(e: Engine) -> int | None:
    """Return when the pause between torque and further angle of the present bolts gets long; None once told."""
    step, here = e.step, e.bolt_place()
    if here is None or not isinstance(step, TightenStep) or e.rules < 2 or e.unread is not None:
        return None
    chunk = here[0]
    torqued = e.state.torqued_ms.get(chunk.group)
    if e.base == "turned":
        return None
    if chunk.way is not Way.ANGLE or torqued is None or (step.id, chunk.turn, chunk.group) in e.state.pause_told:
        return None
    return torqued + LONG_PAUSE_MS


def pause_words(e: Engine) -> list[str]:
    """Tell once that the present bolts waited long between their torque and a further angle, and write it down."""
    due, here = pause_ms(e), e.bolt_place()
    if due is None or here is None or e.step is None or e.now_ms < due:
        return []
    chunk = here[0]
    waited = (e.now_ms - due + LONG_PAUSE_MS) // 1000
    e.state.pause_told.add((e.step.id, chunk.turn, chunk.group))
    e.record("long_pause", step=e.step.id, stage=chunk.stage, turn=chunk.turn, group=chunk.group, seconds=waited)
    return replies_bolts.long_pause(waited)


def where_words(e: Engine, chunk: Chunk, bolts: tuple[int, ...]) -> str:
    """Return where a bolt sits when they are taken one at a time; "" when the map of its group does not say."""
    return places_spoken.where(e.groups[chunk.group], bolts[0]) if e.state.one_by_one else ""


def value_words(e: Engine, chunk: Chunk, *, surely: bool, at_bolt: bool = False) -> list[str]:
    """Return the value as a sentence; ``surely`` with its digits too where it sounds like another."""
    target = chunk.target
    if chunk.way is Way.LOOSEN:
        return [replies_bolts.loosen(target)]
    if target is None:
        raise TypeError("Only loosening has no target.")
    step = e.step
    turned = named.turned_through(e, step, chunk) if isinstance(step, TightenStep) else None
    if turned is not None and isinstance(target, Angle):
        tool, known = turned
        return (
            replies_bolts.at_handle(target, known) if known else [replies_bolts.no_gear_ratio(named.name_of(e, tool))]
        )
    said = tooling.in_unit(e, target)
    value = replies.target_surely(said, at_bolt=at_bolt) if surely or at_bolt else replies.target(said)
    return [value]


def stage_again(e: Engine, step: TightenStep, now: Chunk) -> list[str]:
    """Return the whole pass of ``now`` from its start: bolts, and values and settings where they change."""
    lines = [*stage_words(e, step, now), *before_stage(e, step, now)]
    tools = tooling.stage_tools(e, step, now.turn)
    several = len({one.group for one in e.chunks[step.id]}) > 1
    before, last, told = None, None, []
    for index, chunk in enumerate(e.chunks[step.id]):
        if chunk.turn != now.turn:
            continue
        if several and (before is None or before.group != chunk.group):
            lines.append(replies.group_name(e.groups[chunk.group]))
        if all((step.id, index, at) in e.state.turned for at in range(len(chunk.bolts))):
            lines += [replies.bolts(chunk.bolts), sentences.TURNED]
            continue
        choice = tools.choices.get(index) if tools else None
        anew = before is None or not _same_target(before, chunk)
        leads = tooling.leads_at(e, step, chunk, index) if anew else ()
        lines += torque_missing(e, step, chunk, chunk.bolts, index)
        lines += [*(replies_bolts.lead(one) for one in leads), replies.bolts(chunk.bolts)]
        if anew:
            apart = choice is not None and not tooling.is_plain(e, chunk, choice)
            if not tooling.no_number(leads):
                lines += [*value_words(e, chunk, surely=True, at_bolt=apart), *stroke_words(e, chunk)]
            if choice is not None and apart:
                lines += replies_bolts.tool_words(choice, last)
            told += [line for line in after_values(e, step, chunk, index) if line not in told]
        lines.append(replies.hidden(e.groups[chunk.group], chunk.bolts))
        before, last = chunk, choice
    return [*lines, *told]


def stroke_words(e: Engine, chunk: Chunk) -> list[str]:
    """Return the strokes in which the space lets a further angle be turned, if it takes more than one.

    Through a multiplier it is the handle that has to fit into the space.
    """
    target, step = chunk.target, e.step
    if not isinstance(target, Angle) or chunk.of.swing is None or chunk.way is not Way.ANGLE:
        return []
    turned = named.turned_through(e, step, chunk) if isinstance(step, TightenStep) else None
    if turned is not None:
        handle = handle_angle(target, turned[1]) if turned[1] else None
        if not isinstance(handle, Angle):
            return []
        target = handle
    found = strokes(target, chunk.of.swing)
    return [replies_bolts.strokes(found)] if isinstance(found, tuple) else [replies_bolts.too_many_strokes()]


def limit_words(e: Engine, chunk: Chunk) -> list[str]:
    """Return the limits of the present bolts in the unit that they are read in."""
    low, high = (
        None if end is None else tooling.said_limit(e, end, up=up)
        for end, up in ((chunk.of.low, True), (chunk.of.high, False))
    )
    return replies_bolts.between(low, high)


def tool_now(e: Engine) -> list[str]:
    """Return what the present bolts are done with: tool and setting, as if said for the first time, or the gauge."""
    step, here = e.step, e.bolt_place()
    if here is None or not isinstance(step, TightenStep):
        return []
    choice = tooling.choice_at(e)
    first = [replies_bolts.lead(one) for one in tooling.leads_at(e, step, here[0], here[2])]
    if choice is not None:
        return [*first, *replies_bolts.tool_words(choice, None)]
    return first or (before_stage(e, step, here[0]) if e.tools is not None else [])


def after_break(e: Engine) -> list[str]:
    """Return what must be heard when a tightening is taken up again: a long pause, the tool and its setting."""
    step, here = e.step, e.bolt_place()
    if here is None or not isinstance(step, TightenStep) or e.rules < 2:
        return []
    chunk = here[0]
    e.state.planned.clear()
    e.state.pause_told.discard((step.id, chunk.turn, chunk.group))
    if e.base == "renewing":
        return [replies_bolts.new_ask(e.groups[chunk.group])]
    known = tooling.choice_at(e)
    if e.base == "turned":
        return [sentences.OVERSTRETCH, sentences.TURNED_NEXT]  # that they were done before is said with the place
    now = tool_now(e) if known else _by_hand(e, step, chunk, here[2])
    return [*pause_words(e), *now, *after_values(e, step, chunk, here[2]), *off_words(e)]


def _by_hand(e: Engine, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return the value of bolts for which no tool is chosen, behind why there is none and what is turned with."""
    leads = tooling.leads_at(e, step, chunk, index)
    first = before_stage(e, step, chunk) if e.tools is not None else []
    by_hand = e.tools is None and chunk.of.adapter is not None
    value = [] if tooling.no_number(leads) else value_words(e, chunk, surely=True, at_bolt=by_hand)
    return [*(replies_bolts.lead(one) for one in leads), *first, *value]


def off_words(e: Engine) -> list[str]:
    """Return what is wrong with the reading of the present bolt, and what can be said."""
    step, here = e.step, e.bolt_place()
    if step is None or here is None:
        return []
    chunk, bolts, index, offset = here
    off = e.state.off.get((step.id, index, offset))
    if off is None:
        return []
    below = off.side == Side.BELOW
    own = chunk.of.low if below else chunk.of.high
    edge = reading_limits.limits_of(e, chunk)[0 if below else 1]
    tolerance = None if own is not None else reading_limits.tolerance_of(e, chunk)
    choice = tooling.choice_at(e)
    apart = choice is not None and not tooling.is_plain(e, chunk, choice)
    said = [replies_bolts.off(bolts[0], off, tolerance, at_bolt=apart)]
    if edge is not None:
        said.append(replies_bolts.edge(tooling.said_limit(e, edge, up=below), below=below))
    return [*said, sentences.DECIDE]
