"""The shims of a pack that brings end play, backlash or a bearing's preload into its band."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

import typer

from assistant.advice.packs import CHANGED, Play, is_length, work_out_pack, work_out_play
from assistant.advice.thickness import THOU, Thicknesses, parse_thicknesses, written
from assistant.advice.uncertainty import gauge_uncertainty, thickness_uncertainty
from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.fastening.quantities import LengthUnit, as_decimal, plain
from assistant.faults import Fault, quoted
from assistant.procedure.format.values import parse_limits
from assistant.procedure.model import Limits
from assistant.terminal.exits import or_refuse

_BOTH = set(LengthUnit)
_RATIO = "give it as the procedure does, such as -1 or 0.6; it is never guessed"


def pack(
    measured: Annotated[str, typer.Argument(help="What was measured: a play 0.35mm, or a drag 0.8Nm.")],
    band: Annotated[str, typer.Option(help="What is wanted: 0.05 to 0.10 mm; with --preload, how much of it.")],
    shims: Annotated[str, typer.Option(help="Shims in hand: 0.10 x 4, 0.25 x 2 mm.")],
    ratio: Annotated[
        str, typer.Option(help="Change of the play for each change of the pack, below zero where a thicker pack "
                          "makes less of it; of a drag, for each millimetre of the pack.")
    ],
    present: Annotated[str, typer.Option("--pack", help="The pack that was measured with: 0.25 x 2 mm.")] = "",
    preload: Annotated[bool, typer.Option("--preload", help="The band is a preload: a play below zero.")] = False,
    gauge: Annotated[str, typer.Option(help="Uncertainty of the gauge, in the unit of the play: 0.01 mm.")] = "",
    shim_gauge: Annotated[str, typer.Option(help="Uncertainty of the thickness of each shim: 0.005 mm.")] = "",
    as_json: AsJson = False,
) -> None:  # fmt: skip
    """Work out the new pack of shims for an end play, a backlash or a preload: the fewest that reach the band."""
    given = _Given(measured, band, shims, ratio, present, gauge, shim_gauge)
    raise typer.Exit(put_sheet(lambda: _pack(given, preload=preload), as_json=as_json))


@dataclass(frozen=True, slots=True)
class _Given:
    """What was typed."""

    measured: str
    band: str
    shims: str
    ratio: str
    present: str
    gauge: str
    shim_gauge: str


def _pack(given: _Given, *, preload: bool) -> Worked:
    stock = or_refuse(parse_thicknesses(given.shims))
    old = or_refuse(parse_thicknesses(given.present)) if given.present else Thicknesses((), stock.unit)
    if old.unit is not stock.unit:
        or_refuse(Fault("The pack and the shims in hand are in different units", "write both in one unit"))
    unit, play = or_refuse(_play(given.measured, given.band, given.ratio, preload))
    gauge, how = or_refuse(_gauge(given.gauge, unit))
    thickness = or_refuse(thickness_uncertainty(given.shim_gauge))
    guard = play.uncertainty(CHANGED, gauge, thickness)
    found = or_refuse(work_out_pack(play, old.sizes, Counter(stock.sizes), guard))
    told = _told(found.expected, unit)
    doubts = []
    if not found.reaches:
        off = max(play.low - found.expected, found.expected - play.high)
        side = "above" if found.expected > play.high else "below"
        doubts.append(f"No pack of these shims reaches the band: the nearest leaves {_told(off, unit)} {side} it.")
    else:
        sure = play.uncertainty(len(found.out) + len(found.new), gauge, thickness)
        if play.near_limit(found.expected, sure):
            doubts.append(f"That is nearer to a limit than the gauge can tell ({_told(gauge, unit)}, {how}).")
            if sure != gauge:
                doubts.append(f"With the shims that are moved it may be off by {_told(sure, unit)}.")
    return Worked(
        title="Pack of shims",
        given={
            "measured": given.measured,
            "wanted": f"{given.band}{' of preload' if preload else ''}",
            "pack": str(old) if old.sizes else "none",
            "ratio": given.ratio,
            "shims in hand": str(stock),
        },
        answer=(
            _shims_told(found.shims, stock),
            f"That leaves {_told(-found.expected, unit)} of preload." if preload else f"That leaves {told}.",
            *([f"Take out: {_listed(found.out, stock)}."] if found.out else []),
            *([f"Put in: {_listed(found.new, stock)}."] if found.new else []),
        ),
        how=(
            "Play left = measured + ratio x (new pack - old pack); common practice of service manuals.",
            *(["A preload is a play below zero."] if preload else []),
            "One that is surely in the band comes first, then the fewest shims, then nearest to the middle of the band",
            "(OR-tools CP-SAT, in whole numbers).",
            *(["Uncertainty: root of the sum of squares of the gauge and of each shim that is moved (JCGM 100, 5.1.3)."]
              if thickness else []),
            *([f"Between {unit} and {stock.unit} it was converted exactly."] if {unit, stock.unit} == _BOTH else []),
            "Measure again once it is put together: that reading counts.",
        ),
        doubts=doubts,
        values={
            "shims": [written(size, stock.unit) for size in found.shims],
            "pack": f"{written(found.total, stock.unit)} {stock.unit}",
            "expected": told,
            "reaches": found.reaches,
        },
    )  # fmt: skip


def _play(measured: str, band: str, ratio: str, preload: bool) -> tuple[str, Play] | Fault:
    """Return the unit of the play and the play itself: in grains where it is a length, else in its own unit."""
    limits, found = _limits(band), _limits(f"at least {measured}")
    if isinstance(limits, Fault):
        return limits
    if isinstance(found, Fault) or found.low is None:
        return Fault(f"{quoted(measured)} is no reading", "write a number with its unit, such as 0.35 mm")
    if limits.low is None or limits.high is None:
        return Fault(f"{quoted(band)} has one end only", "write both ends, such as 0.05 to 0.10 mm")
    try:
        rate = Fraction(ratio)
    except (ValueError, ZeroDivisionError):
        return Fault(f"{quoted(ratio)} is no ratio of play to pack", _RATIO)
    if preload and not is_length(limits.unit):
        return Fault("A drag is no play below zero", "leave out --preload, and give the band of the drag")
    low, high = (-limits.high, -limits.low) if preload else (limits.low, limits.high)
    play = work_out_play((found.low, found.unit), (low, high, limits.unit), rate)
    return play if isinstance(play, Fault) else (found.unit if is_length(found.unit) else limits.unit, play)


def _limits(text: str) -> Limits | Fault:
    """Return limits; thousandths of an inch are inches here."""
    limits = parse_limits(text)
    if isinstance(limits, Fault) or limits.unit != THOU:
        return limits
    low, high = (None if end is None else end / 1000 for end in (limits.low, limits.high))
    return Limits(low, high, LengthUnit.INCH.value)


def _gauge(text: str, unit: str) -> tuple[Fraction, str] | Fault:
    if unit in tuple(LengthUnit):
        sure = gauge_uncertainty(text, LengthUnit(unit))
        return sure if isinstance(sure, Fault) else (Fraction(sure.grains), sure.how)
    if not text:
        return Fraction(0), "as nothing is given"
    limits = parse_limits(f"at most {text}")
    if isinstance(limits, Fault) or limits.unit != unit:
        return Fault(f"{quoted(text)} is no uncertainty in {unit}", "write it in the unit of what was measured")
    return Fraction(limits.high or 0), "as given"


def _told(value: Fraction, unit: str) -> str:
    if unit in tuple(LengthUnit):
        grains = round(value)
        return f"{'-' if grains < 0 else ''}{written(abs(grains), LengthUnit(unit))} {unit}"
    return f"{plain(round(as_decimal(value), 3).normalize() + 0)} {unit}"


def _listed(shims: Sequence[int], stock: Thicknesses) -> str:
    return Thicknesses(tuple(shims), stock.unit).listed


def _shims_told(shims: Sequence[int], stock: Thicknesses) -> str:
    if not shims:
        return "The new pack has no shim."
    number = "1 shim" if len(shims) == 1 else f"{len(shims)} shims"
    return f"The new pack is {written(sum(shims), stock.unit)} {stock.unit} of {number}: {_listed(shims, stock)}."
