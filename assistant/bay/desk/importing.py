"""From a tightening table to a draft with its groups and tighten steps, and a list of what was understood."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from assistant.bay.desk.grid_file import read_grids
from assistant.bay.desk.skeleton import Draft, Fasteners, chapter, name_groups, render, step
from assistant.bay.desk.skeleton import Head as ProcedureHead
from assistant.bay.desk.table_groups import Bolts, Pass, Programme, clashes
from assistant.bay.desk.table_head import Head, find_head
from assistant.bay.desk.table_programme import read_programme
from assistant.bay.desk.table_values import Target, parse_unit
from assistant.bay.desk.text import TODO
from assistant.bay.desk.written import finish
from assistant.bay.exits import Exit
from assistant.bay.job import Refusal, guarded
from assistant.fastening.units import AngleUnit
from assistant.procedure.writer import written_bolts

_TOOLS = {False: ("torque-wrench", "torque wrench"), True: ("angle-gauge", "angle gauge")}
"""By whether the stage turns by an angle."""


def run_import(table: Path, out: Path | None, *, sheet: str | None, unit: str | None, force: bool) -> Exit:
    """Turn ``table`` into a draft in ``out`` (or on the standard output), and tell what was and was not understood.

    ``sheet`` names the sheet of a workbook, ``unit`` is that of torques that have none in the table.
    """
    return guarded(lambda: _import(table, out, sheet, unit, force))


def _import(table: Path, out: Path | None, sheet: str | None, unit: str | None, force: bool) -> Exit:
    bare = parse_unit(unit) if unit else None
    if unit and (bare is None or isinstance(bare, AngleUnit)):
        raise Refusal(f"{unit!r} is not a unit of torque: write --unit N·m, lbf·ft or lbf·in.", Exit.USAGE)
    grids = read_grids(table, sheet)
    head = find_head(grids)
    if head is None:
        looked = ", ".join(dict.fromkeys(grid.name for grid in grids))
        needs = "it needs a row of heads such as Group, Size, Bolts, Stage 1 (Nm), Angle (°)"
        raise Refusal(f"No tightening table was found in {looked}: {needs}.", Exit.PROCEDURE)
    programme = read_programme(head, bare)
    _tell(head, programme)
    if not programme.groups:
        raise Refusal(
            f"No row of {head.grid.name} was wholly understood: mend the table and import again.", Exit.PROCEDURE
        )
    code = finish(draft_of(head.grid.name, programme), out, force=force)
    return Exit.PROCEDURE if programme.wrong else code


def _tell(head: Head, programme: Programme) -> None:
    say = _teller(sys.stderr)
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
        targets = ", ".join(str(target) for _, target in sorted(group.targets.items()))
        say(f"  {group.name or group.size.words or 'bolts'}: bolts {shown}: {targets}  [{', '.join(group.rows)}]")
    if programme.wrong:
        say("Not understood, and left out:")
        for sentence in programme.wrong:
            say(f"  {sentence}")


def _teller(stream: Any) -> Any:
    def say(line: str) -> None:
        print(line, file=stream)

    return say


def draft_of(name: str, programme: Programme) -> str:
    """Return the text of the draft for what was understood of the table ``name``."""
    pairs = list(_fasteners(programme.groups))
    name_groups([made for _, made in pairs])
    made = {id(bolts): group for bolts, group in pairs}
    steps, angles = [], set()
    for joint in clashes(programme.groups):
        groups = [made[id(bolts)] for bolts in joint]
        stages = list(_stages([(bolts, made[id(bolts)]) for bolts in joint]))
        angles |= {"angle" in str(stage) for stage in stages}
        named = " and ".join(group.name for group in groups) if len(groups) < 3 else "bolts"
        steps.append(step({"tighten": f"Tighten the {named}.", "stages": stages}, "put this step where it belongs"))
    kinds = {key.angle for bolts in programme.groups for key in bolts.targets}
    about = [f"{TODO}: compare every value with the table that this was made from, {name}"]
    wrong = [f"not understood, and left out: {sentence}" for sentence in programme.wrong]
    draft = Draft(
        ProcedureHead(),
        about,
        [group for _, group in pairs],
        [_TOOLS[kind] for kind in sorted(kinds)],
        chapters=[chapter("Tighten", steps, wrong)],
    )
    return render(draft)


def _fasteners(groups: list[Bolts]) -> Iterator[tuple[Bolts, Fasteners]]:
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
        group = Fasteners(name, size.words, bolts.bolts, size.thread, bolts.grade, bolts.where, decide=decide)
        group.told = f"they are {size.length} mm long" if size.length else ""
        yield bolts, group


def _stages(joint: list[tuple[Bolts, Fasteners]]) -> Iterator[dict[str, Any]]:
    """Return the stages of one joint as they stand in a file, in the order of the table."""
    for key in sorted({key for bolts, _ in joint for key in bolts.targets}):
        runs = [(bolts, group, bolts.targets[key]) for bolts, group in joint if key in bolts.targets]
        out = [group.name for bolts, group in joint if key not in bolts.targets]
        yield _stage(key, runs, out)


def _stage(key: Pass, runs: list[tuple[Bolts, Fasteners, Target]], out: list[str]) -> dict[str, Any]:
    kind = "angle" if key.angle else "torque"
    shared = {str(target) for _, _, target in runs}
    stage: dict[str, Any] = {kind: shared.pop()} if len(shared) == 1 else {}
    stage["tool"] = _TOOLS[key.angle][0]
    if out:
        stage["exception"] = f"The table has no value for the {' and the '.join(out)} in this stage."
    stage["runs"] = [
        {"group": group.id, "bolts": written_bolts(bolts.bolts)} | ({} if kind in stage else {kind: str(target)})
        for bolts, group, target in runs
    ]
    return stage
