"""What is said of a pass of a stage: which one it is, what it needs first, and what is wrong with its tools."""

from __future__ import annotations

from assistant.facts.codes import Way, Why
from assistant.facts.kinds.tighten import Reached
from assistant.fastening.chunks import MOST_THINGS
from assistant.fastening.faults import Unfit
from assistant.language.sentence import Sentence
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in, only_slackens, pointer
from assistant.session.stage_at import stage_at
from assistant.session.telling.core import Telling
from assistant.session.tools import chosen, named
from assistant.session.troubles import is_held


def stage_words(t: Telling, step: TightenStep, chunk: Chunk) -> list[str]:
    """Return which stage and pass this is, with the notes of both and its exception.

    What is said of a stage as a whole is not said again where one of its passes follows on another.
    """
    stage, written = step.stages[chunk.stage - 1], chunk.within
    whole = not _follows_on(t, step, chunk)
    remarks = (stage.note if whole else "", stage.exception if whole else "", written.note)
    stretched = not whole and any(one.to_yield for one in stage.passes[: stage.passes.index(written)])
    at = stage_at(step, chunk)
    if at.of > 1 and chunk.stage > 1 and not (t.in_full or t.is_behind_a_break):
        at = at._replace(of=0)  # how many there are was said with the first
    return [
        t.language.bolts.stage_number(at),
        t.text(Sentence.CHECK_ONLY) if chunk.way is Way.CHECK else "",
        t.text(Sentence.STRETCHES) if written.to_yield and not stretched else "",
        t.text(Sentence.DRAFTED) if any(run.drafted for run in written.runs) else "",
        *(t.language.steps.remark(said) for said in remarks if said),
        _still_waiting(t, step, chunk),
    ]


def _still_waiting(t: Telling, step: TightenStep, chunk: Chunk) -> str:
    """Remind of the bolts of this pass that are held open."""
    if not t.state.held or only_slackens(t.job, step.id):
        return ""
    chunks = [one for one in chunks_in(t.job, step.id) if one.turn == chunk.turn]
    held = [bolt for one in chunks for bolt in one.bolts if is_held(t, one.group, bolt)]
    return t.language.troubles.still_waiting(held) if held else ""


def _follows_on(t: Telling, step: TightenStep, chunk: Chunk) -> bool:
    """Return whether the job came to the pass of ``chunk`` from the one before it, which is of the same stage."""
    if t.before.step is not step or not t.has(Reached):
        return False
    chunks, was = chunks_in(t.job, step.id), pointer(t.before, step)[0]
    return was < len(chunks) and chunks[was].turn == chunk.turn - 1 and chunks[was].stage == chunk.stage


def goes_on_with(t: Telling, step: TightenStep, chunk: Chunk) -> Chunk | None:
    """Return the last bolts of the pass before, where the job came from it just now; None behind a break."""
    if t.before.step is not step or not t.has(Reached) or t.in_full or t.is_behind_a_break:
        return None
    chunks, was = chunks_in(t.job, step.id), pointer(t.before, step)[0]
    last = [one for one in chunks if one.turn == chunk.turn - 1]
    return last[-1] if last and was < len(chunks) and chunks[was] is last[-1] else None


def is_next_time(t: Telling, step: TightenStep, chunk: Chunk) -> bool:
    """Return whether the job came to the next repetition of the very pass that it did before."""
    return chunk.time > 1 and _follows_on(t, step, chunk)


def repetition_words(t: Telling, step: TightenStep, chunk: Chunk) -> list[str]:
    """Return for which time a pass is done: all that is said of it where it follows on the time before."""
    return [t.language.bolts.stage_time(stage_at(step, chunk))]


def before_stage(t: Telling, step: TightenStep, chunk: Chunk) -> list[str]:
    """Return what must be heard before the first bolt, without a number: a crowfoot, the gauge, a multiplier."""
    tools = chosen.stage_tools(t, step, chunk.turn)
    lines = []
    if tools is None:
        runs = [one.of for one in chunks_in(t.job, step.id) if one.turn == chunk.turn]
        lines += [t.text(Sentence.REACH_BY_HAND)] if any(run.adapter for run in runs) else []
    elif tools.gauge is not None:
        lines.append(t.language.tools.use(tools.gauge.name))
    turned = named.turned_through(t, step, chunk)
    if turned is None:
        return lines
    arm = "" if _arm_rests(t, step, chunk, turned[0]) else t.language.tools.rest_arm()
    return [*lines, t.language.tools.between_tool(named.name_of(t, turned[0])), arm]


def _arm_rests(t: Telling, step: TightenStep, chunk: Chunk, tool: str) -> bool:
    """Return whether the arm of the multiplier was told of: with the torque, or in a pass before of the same stage."""
    if t.state.multiplied.get(chunk.group) == tool:
        return True
    if not _follows_on(t, step, chunk):
        return False
    before = [one for one in chunks_in(t.job, step.id) if one.stage == chunk.stage and one.turn < chunk.turn]
    through = [named.turned_through(t, step, one) for one in before if one.again == chunk.again]
    return any(one is not None and one[0] == tool for one in through)


def after_values(t: Telling, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return what is wrong with the tools, behind the value: why the named one is not used, one that is due, an arm."""
    tools = chosen.stage_tools(t, step, chunk.turn)
    if tools is None:
        return []
    why = [lead.why for lead in tools.leads.get(index, ()) if lead.why is not None]
    known = _told_in_stage(t, step, chunk)
    warned = [one for one in tools.warned.get(index, ()) if _about(one) not in known]
    told = dict.fromkeys((*why, *tools.faults, *warned))
    return [t.language.tools.trouble(fault) for fault in tuple(told)[:MOST_THINGS]]


def _told_in_stage(t: Telling, step: TightenStep, chunk: Chunk) -> set[tuple[Why, str, str]]:
    """Return what was warned of in the passes before, where this one follows on in the same stage."""
    if not _follows_on(t, step, chunk):
        return set()
    turns = {one.turn for one in chunks_in(t.job, step.id) if one.stage == chunk.stage and one.again == chunk.again}
    before = [chosen.stage_tools(t, step, turn) for turn in turns if turn < chunk.turn]
    return {_about(one) for tools in before if tools for some in tools.warned.values() for one in some}


def new_warnings(t: Telling, step: TightenStep, chunk: Chunk, index: int) -> list[str]:
    """Return what must be known about tools that come with these bolts, and not with those before them."""
    tools = chosen.stage_tools(t, step, chunk.turn)
    if tools is None:
        return []
    before = {_about(one) for one in tools.warned.get(index - 1, ())}
    new = [one for one in tools.warned.get(index, ()) if _about(one) not in before]
    return [t.language.tools.trouble(fault) for fault in new[:MOST_THINGS]]


def _about(warning: Unfit) -> tuple[Why, str, str]:
    """Return what makes a warning a new one: an arm that pushes harder does, another number low on a scale does not."""
    return warning.code, warning.tool, warning.reason if warning.code is Why.ARM else ""
