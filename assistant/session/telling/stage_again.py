"""Reading a whole pass of a stage again from its start, without moving."""

from __future__ import annotations

from assistant.fastening.choice import Choice
from assistant.language.sentence import Sentence
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_key, bolt_place, chunks_in
from assistant.session.telling import presenting, stages
from assistant.session.telling.bolt_values import stroke_words, value_said
from assistant.session.telling.core import Telling
from assistant.session.tools import chosen
from assistant.session.tools.values import is_plain


def repeat_stage(t: Telling, step: TightenStep) -> list[str]:
    """Say the bolts of the present pass, values and settings where they change, and where in it the job is."""
    place = bolt_place(t)
    if place is None:
        return [t.text(Sentence.BOLTS_DONE)]
    now = place[0]
    lines = [*stages.stage_words(t, step, now), *stages.before_stage(t, step, now)]
    several = len({one.group for one in chunks_in(t.job, step.id)}) > 1
    before: tuple[Chunk, Choice | None] | None = None
    told: list[str] = []
    for index, chunk in enumerate(chunks_in(t.job, step.id)):
        if chunk.turn != now.turn:
            continue
        if several and (before is None or before[0].group != chunk.group):
            lines.append(presenting.group_words(t, chunk))
        if all(bolt_key(t.job, step.id, index, at) in t.state.turned for at in range(len(chunk.bolts))):
            lines += [presenting.called_words(t, chunk, chunk.bolts), t.text(Sentence.TURNED)]
            continue
        lines += presenting.torque_missing(t, step, chunk, chunk.bolts, index)
        if before is None or not presenting.same_target(before[0], chunk):
            lines += _with_values(t, step, chunk, index, before[1] if before else None)
            told += [line for line in stages.after_values(t, step, chunk, index) if line not in told]
        else:
            lines.append(presenting.called_words(t, chunk, chunk.bolts))
        lines.append(presenting.hidden_words(t, chunk, chunk.bolts))
        before = chunk, _choice(t, step, chunk, index)
    return [*lines, *told, t.language.bolts.now_at(place[1])]


def _choice(t: Telling, step: TightenStep, chunk: Chunk, index: int) -> Choice | None:
    tools = chosen.stage_tools(t, step, chunk.turn)
    return tools.choices.get(index) if tools else None


def _with_values(t: Telling, step: TightenStep, chunk: Chunk, index: int, last: Choice | None) -> list[str]:
    """Say bolts with their value, and tool and setting as far as they differ from ``last``."""
    choice = _choice(t, step, chunk, index)
    apart = choice is not None and not is_plain(t, chunk, choice)
    leads = chosen.leads_at(t, step, chunk, index)
    lines = [*presenting.lead_words(t, leads), presenting.called_words(t, chunk, chunk.bolts)]
    if not chosen.no_number(leads):
        lines += [*value_said(t, chunk, surely=True, at_bolt=apart), *stroke_words(t, chunk)]
    if choice is not None and apart:
        lines += t.language.tools.tool_words(choice, last)
    return lines
