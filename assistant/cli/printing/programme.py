"""The tightening programmes of a procedure as tables, with bolt maps: what will be done to every single bolt."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from assistant.bay.job import read_or_refuse
from assistant.bay.refusing import guarded
from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import stacked
from assistant.fastening.bolt_data import USUAL_FRICTION, BoltData, bolt_data
from assistant.fastening.plausibility import CANNOT_CATCH
from assistant.fastening.programme import Action, done_passes, expand
from assistant.language.values import StageAt
from assistant.procedure.format.bands import written_band
from assistant.procedure.format.reader import Reading
from assistant.procedure.model import Group, Procedure
from assistant.procedure.programme_text import extras_text, place_text, stage_place, stage_text, target_text
from assistant.procedure.rules.table import fastening_rules
from assistant.procedure.steps.programmes import groups_of, programme_of, written_passes
from assistant.procedure.steps.tighten import Pass, Run, TightenStep
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.terminal.tables import objects, print_json, table

_HEAD = ("no.", "bolt", "group", "stage", "target", "limits", "torque so far", "angle so far", "note")
_DATA = (
    "group", "thread", "class", "friction", "area mm²", "proof load kN", "75 % of proof N·m", "90 % of proof N·m",
    "at 90 % of yield N·m", "usual N·m", "stop above N·m",
)  # fmt: skip
_GENERAL = "General figures, for judging a value. They are no specification: the procedure's value stands."


def print_programme(path: Path, step: str | None, svg: Path | None, *, force: bool, as_json: bool = False) -> Exit:
    """Print the programmes of the procedure at ``path``, or that of one ``step``, and draw their maps to ``svg``."""
    return guarded(lambda: _programme(path, step, svg, force=force, as_json=as_json))


def _programme(path: Path, step: str | None, svg: Path | None, *, force: bool, as_json: bool) -> Exit:
    reading = read_or_refuse(path)
    procedure = reading.usable
    steps = _steps(procedure, step)
    if svg is not None:
        check_free(svg, force=force, form="svg")
    if as_json:
        listed = [(one.id, one.text, objects(_HEAD, _actions(one, procedure))) for one in steps]
        print_json(objects(("step", "text", "actions"), listed))
    else:
        _print_all(steps, reading)
    if svg is not None:
        maps = [bolt_map_svg(groups_of(one, procedure), one.stages, title=one.text) for one in steps]
        put(svg, (maps[0] if len(maps) == 1 else stacked(maps)).encode(), force=force)
    return Exit.OK


def _print_all(steps: Sequence[TightenStep], reading: Reading) -> None:
    procedure = reading.usable
    for one in steps:
        print(f"{one.id}: {one.text}")
        _print_actions(one, procedure)
        print()
    _print_data(list(dict.fromkeys(group for one in steps for group in groups_of(one, procedure))))
    ours = fastening_rules()
    for finding in (finding for finding in reading.findings if finding.rule in ours):
        print(finding)


def _steps(procedure: Procedure, wanted: str | None) -> list[TightenStep]:
    """Return the tighten steps of ``procedure``, or the one that is wanted."""
    every = [step for step in procedure.every_step if isinstance(step, TightenStep)]
    found = [step for step in every if wanted in (None, step.id)]
    if not every:
        raise Refusal(f"{procedure.title} has no step that tightens: there is no programme to print.", Exit.PROCEDURE)
    if not found:
        known = ", ".join(step.id for step in every)
        raise Refusal(f'There is no step "{wanted}" that tightens: choose one of {known}.', Exit.USAGE)
    return found


def _print_actions(step: TightenStep, procedure: Procedure) -> None:
    """Print every single action of a step, and above it what is special about its stages."""
    for one in written_passes(step):
        stage = step.stages[one.stage - 1]
        of_stage = (stage.note, stage.exception) if one.part == 1 else ()
        said = [part for part in (*of_stage, one.what.note) if part]
        if said or stage.label or stage.reseat or one.what.to_yield or one.what.together or one.what.repeat > 1:
            print(f"  {': '.join([stage_text(stage_place(step, one.stage, one.part), stage), *said])}")
    print(table(_HEAD, _actions(step, procedure)))


def _actions(step: TightenStep, procedure: Procedure) -> list[Sequence[str]]:
    """Return one row for each single action of a step."""
    groups = {group.id: group for group in groups_of(step, procedure)}
    passes = dict(enumerate(written_passes(step), start=1))
    runs = {
        (number, run.group, bolt): run for number, one in passes.items() for run in one.what.runs for bolt in run.bolts
    }
    names = {item.id: item.name for item in procedure.support_equipment}
    programme = programme_of(step, procedure)
    again = {number for number, turn in enumerate(done_passes(programme), start=1) if turn.again}
    rows = []
    for action in expand(programme):
        one = passes[action.planned]
        at = stage_place(step, one.stage, one.part, action.time, again=action.turn in again)
        run = runs[action.planned, action.group, action.bolt]
        stage = step.stages[one.stage - 1]
        rows.append(
            _row(action, at, one.what, run, groups[action.group], names.get(stage.tool_of(one.what, run) or "", ""))
        )
    return rows


def _row(action: Action, at: StageAt, one: Pass, run: Run, group: Group, tool: str) -> Sequence[str]:
    hidden = [f"hidden: {one.where}" for one in group.hidden if one.bolt == action.bolt]
    return (
        str(action.number),
        str(action.bolt),
        group.name,
        place_text(at),
        target_text(one, run),
        written_band(run.low, run.high) or "-",
        "-" if action.torque is None else str(action.torque),
        str(action.angle) if action.angle.value else "-",
        "; ".join(
            [
                *hidden,
                *filter(None, [f"with the {tool}" if run.tool else "", extras_text(run, limits=False, tool=tool)]),
            ]
        ),
    )


def _print_data(groups: Sequence[Group]) -> None:
    """Print what is known of the bolts by thread and class, and what nobody can know."""
    known = [(group, data) for group in groups if isinstance(data := _data(group), BoltData)]
    if known:
        print(table(_DATA, [_data_row(group, data) for group, data in known]))
        print(_GENERAL)
        print(CANNOT_CATCH)
    others = [group.name for group in groups if not isinstance(_data(group), BoltData)]
    if others:
        print(f"Not judged, for want of a thread and a class that are known here: {', '.join(others)}.")


def _data(group: Group) -> object:
    friction = USUAL_FRICTION if group.friction is None else float(group.friction)
    return bolt_data(group.thread, group.strength, friction)


def _data_row(group: Group, data: BoltData) -> Sequence[str]:
    low, high, stop = data.band.low, data.band.high, data.band.stop
    torques = (data.torque_reused, data.torque_permanent, data.torque_assembly)
    return (
        group.name,
        str(data.thread),
        data.strength,
        f"{data.friction:g}" + ("" if group.friction is not None else " (assumed)"),
        f"{data.area:.1f}",
        f"{data.proof / 1000:.1f}",
        *(f"{torque:.1f}" for torque in torques),
        f"{low:.1f} to {high:.1f}",
        f"{stop:.0f}",
    )
