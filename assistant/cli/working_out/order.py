"""The order of the bolts of any cover: drafted from where they sit, beside what is published for such a cover."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import Exit, Refusal, or_refuse

if TYPE_CHECKING:
    from assistant.advice.orders import NamedOrder
    from assistant.fastening.cover_places import Cover
    from assistant.fastening.quantities import Torque
    from assistant.procedure.model import Group

_HEAD = ("order", "bolts", "least step", "mean step", "least turn", "beside", "one-sided", "inward")
_HOW = (
    "From the middle outward, ring by ring; in a ring the next bolt is the farthest from all that are tight there,"
    " then the farthest from the last one, then the lowest number. Even circles and rows: cross pattern, centre-out.",
    "Farthest-point rule: Gonzalez, 1985, Theoretical Computer Science 38 (from memory). Cross and quadrant pattern,"
    " rounds: ASME PCC-1 (from memory). Centre-out order: common practice, no source.",
    "Least and mean step: from a bolt to the next, in gaps between neighbours. Least turn: the same in degrees around"
    " the middle, within a ring. Beside: how often the next bolt is a neighbour on a ring of five or more. One-sided:"
    " how far the middle of the tight bolts strays, 0 is even, 1 is all on one side. Inward: steps back to the middle.",
)


def order(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", readable=False, help="A table with the columns bolt, x and y; or a procedure."),
    ],
    group: Annotated[str | None, typer.Option(metavar="ID", help="The group of the procedure.")] = None,
    torque: Annotated[str | None, typer.Option(help="The last torque, for the passes: 45Nm, 33 lbf.ft.")] = None,
    svg: Annotated[Path | None, typer.Option(metavar="OUT", help="Draw the bolt map to this SVG file.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace the file that is there; it is kept as .bak.")] = False,
    as_json: AsJson = False,
) -> None:
    """Draft the order of the bolts of any cover, beside the published patterns where they apply, and propose passes."""
    raise typer.Exit(put_sheet(lambda: _order(file, group, torque, svg, force=force), as_json=as_json))


def _order(file: Path, group: str | None, torque: str | None, svg: Path | None, *, force: bool) -> Worked:
    from assistant.advice.orders import circle_of, orders_of
    from assistant.drawing.bolt_map import order_map_svg
    from assistant.fastening.cover_places import cover_of
    from assistant.fastening.units import parse_torque
    from assistant.terminal.output import check_free, put

    last = None if torque is None else or_refuse(parse_torque(torque))
    if svg is not None:
        check_free(svg, force=force, form="svg")
    shown, places = _given(file, group)
    cover = or_refuse(cover_of(places))
    given = () if shown.order_drafted else shown.order
    orders = or_refuse(orders_of(cover, given))
    if svg is not None:
        put(svg, order_map_svg(shown, cover.places, orders[0].bolts, orders[0].name, last).encode(), force=force)
    return _worked(file, shown, cover, orders, last, circle=bool(circle_of(cover)))


def _given(file: Path, wanted: str | None) -> tuple[Group, dict[int, tuple[float, float]]]:
    """Return the bolts that are asked for as a group, and their places."""
    from assistant.authoring.cover_table import read_cover
    from assistant.bay.job import read_or_refuse
    from assistant.drawing.places import panels
    from assistant.procedure.model import Group
    from assistant.workshop.library_copy import procedure_named

    if file.suffix.lower() in {".csv", ".tsv", ".txt", ".xlsx"}:
        if wanted is not None:
            raise Refusal(f"{file} is a table and has no groups: leave out --group.", Exit.USAGE)
        places = read_cover(file)
        return Group("cover", "bolts of the cover", "", tuple(sorted(places))), places
    procedure = read_or_refuse(procedure_named(file)).usable
    laid = [one for one in procedure.groups if one.layout is not None and len(one.bolts) > 1]
    if not laid:
        raise Refusal(
            f"{procedure.title} has no group with a layout: write layout: where its bolts sit.", Exit.PROCEDURE
        )
    found = [one for one in laid if wanted in (None, one.id)]
    if len(found) != 1:
        known = ", ".join(one.id for one in laid)
        what = "has several groups" if wanted is None else f'has no group "{wanted}" with a layout'
        raise Refusal(f"{procedure.title} {what}: choose one with --group, of {known}.", Exit.USAGE)
    panel = panels(found)[0]
    return found[0], {bolt: place for (_, bolt), place in panel.points.items()}


def _worked(
    file: Path, group: Group, cover: Cover, orders: Sequence[NamedOrder], last: Torque | None, *, circle: bool
) -> Worked:
    from assistant.advice.passes import pass_proposals
    from assistant.procedure.format.values import bolts_text

    drafted = orders[0]
    listed = ", ".join(map(str, drafted.bolts))
    answer = [f"Drafted order, not the maker's ({drafted.name}): {listed}."]
    same = [one.name for one in orders[1:] if one.bolts == drafted.bolts]
    published = [one for one in orders if one.name.startswith("PCC-1")]
    if same:
        answer.append(f"It is the same as: {', '.join(same)}.")
    if not published:
        why = (
            "the circle has a number of bolts that it does not print"
            if circle
            else "the bolts stand on no one even circle"
        )
        answer.append(f"No published pattern applies: {why}.")
    if len(cover.rings) > 1:
        rings = "; ".join(bolts_text(sorted(ring)) for ring in cover.rings)
        answer.append(f"Rings from the middle outward: {rings}.")
    passes = pass_proposals(last)
    answer.append("Passes that could lead there, where the procedure names only the last torque and no angle:")
    for number, one in enumerate(passes, start=1):
        span = f"{one.low} to {one.high} %" if one.low < one.high else f"{one.high} %"
        value = f"{one.torque}, " if one.torque is not None else ""
        way = "once around, one beside the other, until none turns" if one.around else "in this order"
        answer.append(f"  {number}. {value}{one.share} % (PCC-1: {span}), {way}.")
    doubts = []
    if cover.in_line and len(cover.places) > 2:
        doubts.append("All bolts stand in one line: no order can go across, only from the middle to the ends.")
    rows = [
        (
            one.name + (" (drafted)" if one.drafted else ""), " ".join(map(str, one.bolts)), f"{one.figures.least:.2f}",
            f"{one.figures.mean:.2f}",
            "-" if one.figures.least_turn is None else f"{one.figures.least_turn:.0f}°",
            str(one.figures.beside), f"{one.figures.one_sided:.2f}", str(one.figures.inward),
        )
        for one in orders
    ]  # fmt: skip
    return Worked(
        title="Order of the bolts of a cover",
        given={"file": str(file), "bolts": bolts_text(sorted(cover.places)), "group": group.name},
        answer=answer,
        how=_HOW,
        head=_HEAD,
        rows=rows,
        doubts=doubts,
        values={
            "drafted": True,
            "pattern": drafted.name,
            "order": list(drafted.bolts),
            "rings": [list(ring) for ring in cover.rings],
            "passes": [
                {
                    "share_percent": one.share,
                    "around": one.around,
                    "torque": None if one.torque is None else str(one.torque),
                }
                for one in passes
            ],
        },
    )
