"""Whether bolts that were tightened to yield may be used again, by their free lengths and the procedure's own limit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import or_refuse


def bolt_lengths(
    file: Annotated[Path, typer.Argument(help="A table (CSV or XLSX) with the columns bolt and length [mm] or [in].")],
    limit: Annotated[str, typer.Option(help="The longest free length that the procedure allows: 118.5mm, 4.665in.")],
    uncertainty: Annotated[str, typer.Option(help="How far a measured length may be off.")] = "0.03mm",
    as_json: AsJson = False,
) -> None:
    """Work out which stretched bolts may be used again by the limit of their procedure."""
    raise typer.Exit(put_sheet(lambda: _bolts(file, limit, uncertainty), as_json=as_json))


def _bolts(file: Path, limit: str, uncertainty: str) -> Worked:
    from assistant.advice.free_length import Reuse, judge_length
    from assistant.cli.working_out.columns import BoltColumn, read_bolts
    from assistant.fastening.quantities import plain
    from assistant.fastening.units import parse_length

    most, off = or_refuse(parse_length(limit)), or_refuse(parse_length(uncertainty))
    lengths = read_bolts(file, {"length": BoltColumn(("length", "free length"), parse_length)})["length"]
    found = {bolt: judge_length(length, most, off) for bolt, length in sorted(lengths.items())}
    by = {reuse: [bolt for bolt, one in found.items() if one.reuse is reuse] for reuse in Reuse}
    words = {Reuse.WITHIN: "within the limit", Reuse.BEYOND: "too long: replace", Reuse.CLOSE: "too close to tell"}
    answer = [f"{len(by[Reuse.WITHIN])} of {len(found)} bolts are within the limit of {most}."]
    if by[Reuse.BEYOND]:
        answer.append(f"Replace {_named(by[Reuse.BEYOND])}: longer than {most}.")
    doubts = []
    if by[Reuse.CLOSE]:
        doubts.append(f"{_named(by[Reuse.CLOSE])}: within {off} of the limit. Measure again, or replace.")
    return Worked(
        title="Free length of stretched bolts",
        given={"file": str(file), "limit": str(most), "uncertainty": str(off)},
        answer=answer,
        how=(
            "A bolt longer than the limit is not used again; one shorter by less than the uncertainty is a doubt "
            "(decision rule with a guard band, ISO 14253-1, from memory).",
            "The limit is the procedure's own. A bolt within it can still be necked, rusted or damaged: look at it.",
        ),
        head=("bolt", "length", f"over [{most.unit.value}]", "by the limit"),
        rows=[(str(bolt), str(one.length), plain(one.over.value), words[one.reuse]) for bolt, one in found.items()],
        doubts=doubts,
        values={
            "limit": str(most),
            "reuse": {str(bolt): one.reuse.value for bolt, one in found.items()},
            "replace": by[Reuse.BEYOND],
            "close": by[Reuse.CLOSE],
        },
    )


def _named(numbers: Sequence[int]) -> str:
    several = len(numbers) > 1
    return f"bolt{'s' if several else ''} {', '.join(map(str, numbers))}"
