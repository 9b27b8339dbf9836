"""From a tightening table to a draft with its groups and tighten steps, and a list of what was understood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from assistant.authoring.drafted_stages import DraftStages
from assistant.authoring.grids.file import read_grids
from assistant.authoring.options import ImportOptions
from assistant.authoring.skeleton import DraftGroup, DraftHead, DraftParts, draft_chapter, draft_text, name_groups, step
from assistant.authoring.tables.head import TableHead, find_head
from assistant.authoring.tables.model import TableBolts, TableContent
from assistant.authoring.tables.order import joints
from assistant.authoring.tables.programme import read_programme
from assistant.authoring.tables.values import parse_unit
from assistant.authoring.text import TODO
from assistant.authoring.written import finish_draft, ready
from assistant.bay.refusing import guarded
from assistant.fastening.quantities import AngleUnit
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.forms import written_bolts
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import warn


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
        turns = [turn for one in programme.passes for turn in one.turns if turn.group is group]
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
    drafted = DraftStages(programme.passes, {key: (group.id, group.name) for key, group in made.items()})
    steps = []
    for joint in joints(programme.groups):
        groups = [made[id(bolts)] for bolts in joint]
        stages = drafted.of_joint(joint)
        named = " and ".join(group.name for group in groups) if len(groups) < 3 else "bolts"
        steps.append(
            step({"tighten": WRITTEN.drafting.tighten(named), "stages": stages}, "put this step where it belongs")
        )
    about = [
        f"{TODO}: compare every value with the table that this was made from, {name}. It says, row by row:",
        *programme.notes,
    ]
    wrong = [f"not understood, or not sure: {found.told}" for found in programme.wrong]
    draft = DraftParts(
        DraftHead(),
        about,
        [group for _, group in pairs],
        drafted.tools,
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
