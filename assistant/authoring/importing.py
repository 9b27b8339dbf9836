"""From a tightening table to a draft with its groups and tighten steps, and a list of what was understood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from assistant.authoring.grids.file import read_grids
from assistant.authoring.options import ImportOptions
from assistant.authoring.skeleton import DraftGroup, DraftHead, DraftParts, draft_chapter, draft_text, name_groups, step
from assistant.authoring.tables.head import TableHead, find_head
from assistant.authoring.tables.model import TableBolts, TableContent, Turn
from assistant.authoring.tables.order import joints
from assistant.authoring.tables.programme import read_programme
from assistant.authoring.tables.values import parse_unit
from assistant.authoring.text import TODO
from assistant.authoring.written import finish_draft, ready
from assistant.bay.job import guarded
from assistant.fastening.quantities import Angle, AngleUnit
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.forms import written_bolts
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import warn

_TOOLS = {False: ("torque-wrench", "torque wrench"), True: ("angle-gauge", "angle gauge")}
"""By whether the stage turns by an angle."""


def run_import(table: Path, out: Path | None, options: ImportOptions) -> Exit:
    """Turn ``table`` into a draft in ``out`` (or on the standard output), and tell what was and was not understood."""
    return guarded(lambda: _import(table, out, options.tab, options.unit, options.force))


def _import(table: Path, out: Path | None, tab: str | None, unit: str | None, force: bool) -> Exit:
    bare = parse_unit(unit) if unit else None
    if unit and (bare is None or isinstance(bare, AngleUnit)):
        raise Refusal(f"{unit!r} is not a unit of torque: write --unit N·m, lbf·ft or lbf·in.", Exit.USAGE)
    ready(out, force=force)
    grids = read_grids(table, tab)
    head = find_head(grids)
    if head is None:
        looked = ", ".join(dict.fromkeys(grid.name for grid in grids))
        needs = "it needs a row of heads such as Group, Size, Bolts, Stage 1 (Nm), Angle (°)"
        raise Refusal(f"No tightening table was found in {looked}: {needs}.", Exit.PROCEDURE)
    programme = read_programme(head, bare)
    programme.wrong += [
        grid.fault(
            f"{grid.name} has a table too, and this draft has nothing of it", "choose with --tab, or import both"
        )
        for grid in grids
        if grid.name != head.grid.name and find_head([grid])
    ]
    _tell(head, programme)
    if not programme.groups:
        raise Refusal(
            f"Nothing of {head.grid.name} can be drafted as it stands: mend the table and import again.", Exit.PROCEDURE
        )
    code = finish_draft(draft_of(head.grid.name, programme), out, force=force)
    return Exit.PROCEDURE if programme.wrong else code


def _tell(head: TableHead, programme: TableContent) -> None:
    say = warn
    say(f"Read {head.grid.name}, with its head in {head.grid.line(head.row)}.")
    for remark in programme.remarks:
        say(f"  {remark}")
    say("Understood:")
    for column in head.columns:
        unit = f", in {column.unit.value}" if column.unit else ""
        say(f'  {head.grid.head(column.at)}, "{column.words}": {column.role.value}{unit}')
    for group in programme.groups:
        bolts = written_bolts(group.bolts)
        shown = bolts if isinstance(bolts, str) else ", ".join(bolts)
        turns = [turn for stage in programme.stages for turn in stage if turn.group is group]
        targets = ", ".join(dict.fromkeys(str(turn.target) for turn in turns))
        say(f"  {group.name or group.size.words or 'bolts'}: bolts {shown}: {targets}  [{', '.join(group.rows)}]")
    if programme.wrong:
        say(f"Not understood, or not sure{'; the draft has a TODO for each' if programme.groups else ''}:")
        for found in programme.wrong:
            say(f"  {found.told}")


def draft_of(name: str, programme: TableContent) -> str:
    """Return the text of the draft for what was understood of the table ``name``."""
    pairs = list(_fasteners(programme.groups))
    name_groups([made for _, made in pairs])
    made = {id(bolts): group for bolts, group in pairs}
    steps = []
    for joint in joints(programme.groups):
        groups = [made[id(bolts)] for bolts in joint]
        stages = list(_stages(joint, programme.stages, made))
        named = " and ".join(group.name for group in groups) if len(groups) < 3 else "bolts"
        steps.append(
            step({"tighten": WRITTEN.drafting.tighten(named), "stages": stages}, "put this step where it belongs")
        )
    kinds = {isinstance(stage[0].target, Angle) for stage in programme.stages}
    about = [
        f"{TODO}: compare every value with the table that this was made from, {name}. It says, row by row:",
        *programme.notes,
    ]
    wrong = [f"not understood, or not sure: {found.told}" for found in programme.wrong]
    draft = DraftParts(
        DraftHead(),
        about,
        [group for _, group in pairs],
        [_TOOLS[kind] for kind in sorted(kinds)],
        chapters=[draft_chapter("Tighten", steps, wrong)],
    )
    return draft_text(draft)


def _fasteners(groups: list[TableBolts]) -> Iterator[tuple[TableBolts, DraftGroup]]:
    """Name the groups for the ear, each with a name of its own."""
    taken: set[str] = set()
    for bolts in groups:
        name = bolts.name or f"{bolts.size.words} bolts".strip()
        name = name if name[:2].isupper() else name[:1].lower() + name[1:]
        if name.lower() in taken and bolts.size.words:
            name = f"{name}, {bolts.size.words}"
        number = 2
        first = name
        while name.lower() in taken:
            name, number = f"{first}, set {number}", number + 1
        taken.add(name.lower())
        size, decide = bolts.size, tuple(bolts.decide)
        group = DraftGroup(name, size.words, bolts.bolts, size.thread, bolts.grade, bolts.where, decide=decide)
        group.told = f"they are {size.length} mm long" if size.length else ""
        yield bolts, group


def _stages(joint: list[TableBolts], stages: list[list[Turn]], made: dict[int, DraftGroup]) -> Iterator[dict[str, Any]]:
    """Return the stages of one joint as they stand in a file, in the order of the programme."""
    groups = {id(group): group for group in joint}
    for stage in stages:
        turns = [turn for turn in stage if id(turn.group) in groups]
        if turns:
            yield _stage(turns, joint, made)


def _stage(turns: list[Turn], joint: list[TableBolts], made: dict[int, DraftGroup]) -> dict[str, Any]:
    angle = isinstance(turns[0].target, Angle)
    kind = "angle" if angle else "torque"
    shared = {str(turn.target) for turn in turns}
    stage: dict[str, Any] = {kind: shared.pop()} if len(shared) == 1 else {}
    stage["tool"] = _TOOLS[angle][0]
    out = [_left_out(group, turns, made[id(group)].name) for group in joint]
    if any(out):
        stage["exception"] = f"The table has no value for {' and '.join(filter(None, out))} in this stage."
    stage["runs"] = [
        {"group": made[id(turn.group)].id, "bolts": written_bolts(turn.bolts)}
        | ({} if kind in stage else {kind: str(turn.target)})
        for turn in turns
    ]
    return stage


def _left_out(group: TableBolts, turns: list[Turn], name: str) -> str:
    """Return which bolts of ``group`` a stage does not take, in words; "" when it takes all."""
    taken = {bolt for turn in turns if turn.group is group for bolt in turn.bolts}
    if taken == set(group.bolts):
        return ""
    return f"some of the {name}" if taken else f"the {name}"
