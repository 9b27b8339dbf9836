"""Which shim goes under which valve: from a table of readings, the shims in hand, and those that can be bought."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Annotated

import typer

from assistant.advice.shims import ShimChoice, ShimPlan, Valve, work_out_shims
from assistant.advice.thickness import Thicknesses, grains_of, length_unit, parse_thicknesses, written, written_grains
from assistant.advice.uncertainty import gauge_uncertainty, thickness_uncertainty
from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.facts.codes import ShimWay
from assistant.fastening.quantities import LengthUnit
from assistant.fastening.units import parse_length
from assistant.faults import Fault, quoted
from assistant.files import FileFault, read_file
from assistant.procedure.format.values import parse_limits, parse_number
from assistant.terminal.exits import or_refuse

_MOST_BYTES = 100_000
_COLUMNS = ("valve", "clearance", "shim")
_HINT = "its first line names the columns valve, clearance, shim and, where each has its own, band"


def shims(
    file: Annotated[Path, typer.Argument(help="CSV with the columns valve, clearance, shim and, if need be, band.")],
    sizes: Annotated[str, typer.Option(help="What can be bought: 2.00 to 3.20 by 0.05 mm, or a list.")],
    band: Annotated[str, typer.Option(help="The wanted clearance: 0.18 to 0.24 mm.")] = "",
    unit: Annotated[str, typer.Option(help="Unit of the clearances in the file: mm or in.")] = "mm",
    box: Annotated[str, typer.Option(help="Shims in hand: 2.45, 2.60 x 2 mm.")] = "",
    gauge: Annotated[str, typer.Option(help="Uncertainty of the gauge: 0.01 mm.")] = "",
    shim_gauge: Annotated[str, typer.Option(help="Uncertainty of the thickness of each shim: 0.005 mm.")] = "",
    as_json: AsJson = False,
) -> None:
    """Work out the shim of each valve: swap what is in the engine, then from the box, and buy the fewest."""
    gauges = gauge, shim_gauge
    raise typer.Exit(put_sheet(lambda: _shims(file, sizes, band, unit, box, gauges), as_json=as_json))


def _shims(file: Path, sizes: str, band: str, unit: str, box: str, gauges: tuple[str, str]) -> Worked:
    series = or_refuse(parse_thicknesses(sizes))
    if unit not in tuple(LengthUnit):
        or_refuse(Fault(f"{quoted(unit)} is no unit of a clearance", "write mm or in"))
    reading_unit = LengthUnit(unit)
    hand = or_refuse(parse_thicknesses(box)) if box else None
    if hand is not None and hand.unit is not series.unit:
        or_refuse(Fault("The shims to buy and those in the box are in different units", "write both in one unit"))
    sure = or_refuse(gauge_uncertainty(gauges[0], reading_unit))
    thickness = or_refuse(thickness_uncertainty(gauges[1]))
    valves = or_refuse(read_clearances(file, band, reading_unit, series))
    found = or_refuse(work_out_shims(valves, hand.sizes if hand else (), series.sizes))
    return Worked(
        title="Shims for valve clearances",
        given={
            "valves": str(len(valves)),
            "sizes": sizes,
            "box": str(hand or "empty"),
            "gauge": f"{written(sure.grains, reading_unit)} {unit}, {sure.how}",
            **({"shim gauge": gauges[1]} if thickness else {}),
        },
        answer=_answer(found, series.unit),
        how=(
            "New shim N = T + A - V: old shim T, measured A, wanted V, as service manuals of such engines print it.",
            "A valve within its band keeps its shim. Then: as many as can be, fewest bought, fewest from the box,",
            "nearest to the middle of the band (an assignment problem; OR-tools solves it exactly, in whole numbers).",
            "Uncertainty: root of the sum of squares of the gauge, the old and the new shim (JCGM 100, 5.1.3)."
            if thickness
            else "A shim counts as thick as it was read or marked.",
            *([] if reading_unit is series.unit else ["Inches were converted exactly: 1 in = 25.4 mm."]),
        ),
        head=("valve", "found", "fitted", "new", "from", "expected"),
        rows=[_row(one, reading_unit, series.unit) for one in found.choices],
        doubts=tuple(_doubts(found, sure.grains, thickness, reading_unit)),
        values={
            "shim_unit": str(series.unit),
            "clearance_unit": unit,
            "buy": [written(size, series.unit) for size in found.buy],
            "over": [written(size, series.unit) for size in found.over],
        },
    )


def read_clearances(file: Path, band: str, unit: LengthUnit, series: Thicknesses) -> list[Valve] | Fault:
    """Return the valves of a table of clearances [``unit``] and shims of the ``series``, or what is wrong first.

    ``band`` is wanted where the table has none of its own.
    """
    rows = _rows(file)
    if isinstance(rows, Fault):
        return rows
    found: dict[str, Valve] = {}
    for number, row in enumerate(rows, 2):
        at = f"Line {number} of {file.name}"
        valve = _valve(row, at, band, unit, series)
        if isinstance(valve, Fault):
            return valve
        if valve.name in found:
            return Fault(f"{at} has {quoted(valve.name)} again", "take one of them out")
        found[valve.name] = valve
    return list(found.values())


def _rows(file: Path) -> list[Mapping[str, str]] | Fault:
    data = read_file(file, _MOST_BYTES, "a table of clearances, a .csv file")
    if isinstance(data, FileFault):
        return data
    try:
        text = data.decode("utf-8-sig")
        parter = ";" if text.partition("\n")[0].count(";") else ","
        lines = list(csv.DictReader(io.StringIO(text, newline=""), delimiter=parter, strict=True))
    except (UnicodeDecodeError, csv.Error):
        return Fault(f"{file.name} is no table of clearances", _HINT)
    rows: list[Mapping[str, str]] = [
        {str(key).strip().lower(): " ".join(value.split()) for key, value in line.items() if isinstance(value, str)}
        for line in lines
    ]
    if not rows or any(name not in rows[0] for name in _COLUMNS):
        return Fault(f"{file.name} is no table of clearances", _HINT)
    return rows


def _valve(row: Mapping[str, str], at: str, band: str, unit: LengthUnit, series: Thicknesses) -> Valve | Fault:
    name = row.get("valve", "")
    if not name:
        return Fault(f"{at} names no valve", "write which one it is, such as 2 exhaust")
    values: list[int] = []
    for column, its_unit in (("clearance", unit), ("shim", series.unit)):
        number = parse_number(row.get(column, ""), Decimal(-1000), Decimal(1000))
        if isinstance(number, Fault):
            length = parse_length(row.get(column, ""))
            if isinstance(length, Fault):
                return Fault(f"{at}: the {column} {quoted(row.get(column, ''))} is no number", "write it as 0.21")
            if length.unit is not its_unit:
                return Fault(f"{at}: the {column} is in {length.unit}, the others in {its_unit}", "write one unit")
            number = length.value
        grains = grains_of(number, its_unit)
        if isinstance(grains, Fault):
            return Fault(f"{at}: {grains.reason}", grains.advice)
        values.append(grains)
    if values[1] not in series.sizes:
        what = f"{at}: there is no shim of {written(values[1], series.unit)} {series.unit} among the sizes"
        return Fault(what, "measure it again, or add it to the sizes")
    ends = _band(row.get("band") or band, at)
    return ends if isinstance(ends, Fault) else Valve(name, values[0], values[1], *ends)


def _band(text: str, at: str) -> tuple[int, int] | Fault:
    if not text:
        return Fault(f"{at} has no wanted band", "give --band, or a column band")
    limits = parse_limits(text)
    if isinstance(limits, Fault):
        return limits
    if limits.low is None or limits.high is None or length_unit(limits.unit) is None:
        return Fault(f"{quoted(text)} is no band of clearance", "write both of its ends, such as 0.18 to 0.24 mm")
    low, high = (written_grains(end, limits.unit) for end in (limits.low, limits.high))
    if isinstance(low, Fault):
        return low
    return high if isinstance(high, Fault) else (low, high)


def _answer(found: ShimPlan, unit: LengthUnit) -> Sequence[str]:
    ways = Counter(one.way for one in found.choices)
    told = [
        f"{ways[ShimWay.KEEP]} keep their shim, {ways[ShimWay.ENGINE]} take one of another valve, "
        f"{ways[ShimWay.BOX]} one from the box, {ways[ShimWay.BUY]} are bought."
    ]
    buy = Counter(found.buy)
    if buy:
        told.append(f"Buy: {', '.join(f'{count} x {written(size, unit)} {unit}' for size, count in buy.items())}.")
    return told


def _row(one: ShimChoice, unit: LengthUnit, shim_unit: LengthUnit) -> Sequence[str]:
    words = {ShimWay.KEEP: "keeps it", ShimWay.BOX: "the box", ShimWay.BUY: "buy", ShimWay.NONE: "none reaches"}
    return (
        one.valve.name,
        written(one.valve.clearance, unit),
        written(one.valve.fitted, shim_unit),
        "" if one.way is ShimWay.NONE else written(one.size, shim_unit),
        words.get(one.way) or (one.source.name if one.source else ""),
        "" if one.way is ShimWay.NONE else written(one.expected, unit),
    )


def _doubts(found: ShimPlan, gauge: int, thickness: int, unit: LengthUnit) -> Iterator[str]:
    for one in found.choices:
        name = one.valve.name
        if one.way is ShimWay.NONE:
            off = one.valve.off_band(one.size)
            side = "above" if off > 0 else "below"
            yield f"No shim reaches the band of {name}: the nearest leaves it {written(abs(off), unit)} {unit} {side}."
        elif one.valve.near_limit(one.size, one.valve.uncertainty(one.size, gauge, thickness)):
            yield f"{name} {'is' if one.way is ShimWay.KEEP else 'comes'} so near a limit that the gauge cannot tell."
        if one.way is not ShimWay.KEEP and one.valve.near_limit(one.valve.fitted, gauge):
            yield f"{name} was found so near a limit that it may be within its band: measure it again."
