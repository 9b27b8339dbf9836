"""The places of a table of readings: which is next, what is open, what is out of limits, and which value is far off."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

from assistant.facts.codes import Side, TakenWhen
from assistant.facts.kinds.measure import CellAt
from assistant.fastening.quantities import plain
from assistant.procedure.limits_said import most_decimals
from assistant.procedure.model import Limits
from assistant.procedure.rows import BlockRow, TableColumn
from assistant.procedure.steps.measure import MeasureStep
from assistant.session.here import Here
from assistant.session.state import Cell, CellValue
from assistant.session.valves import stays_unread

CellSpot = tuple[BlockRow, TableColumn]
"""A row and a column."""
MOST_NUMBERS = 250
"""So many values of a reading are listened for without a word before them. Ours."""
_WIDE = 2
"""A reading this many times the width of its limits outside of them is far off, and read back. Ours, not published."""
_FEW = 60
"""With fewer values than this in the band, values between them are listened for too, one decimal finer."""


def key_of(step: MeasureStep, spot: CellSpot) -> Cell:
    """Return the key of a place in the state."""
    return step.id, spot[0].id, spot[1].id


def at_of(spot: CellSpot) -> CellAt:
    """Return a place as facts have it."""
    return CellAt(spot[0].id, spot[1].id)


def spot_of(step: MeasureStep, at: CellAt) -> CellSpot | None:
    """Return the place that a fact names; None where the table does not have it."""
    return next((spot for spot in step.cells() if at_of(spot) == at), None)


def value_at(here: Here, step: MeasureStep, spot: CellSpot) -> CellValue | None:
    """Return what was read off at a place; None where nothing was."""
    return here.state.cells.get(key_of(step, spot))


def open_spots(here: Here, step: MeasureStep) -> list[CellSpot]:
    """Return the places at which nothing was read off, that were not left out, and that need it."""
    state = here.state
    closed = (state.cells, state.cells_left_out)
    return [
        spot
        for spot in step.cells()
        if not any(key_of(step, spot) in some for some in closed) and not stays_unread(here, step, spot)
    ]


def spots_left(here: Here, step: MeasureStep) -> Fraction:
    """Return how many of the places of a table are open, from 0 to 1."""
    every = len(list(step.cells()))
    return Fraction(len(open_spots(here, step)), every) if every else Fraction(1)


def left_out_spots(here: Here, step: MeasureStep) -> list[CellSpot]:
    """Return the places that were left out for a reason."""
    return [spot for spot in step.cells() if key_of(step, spot) in here.state.cells_left_out]


def present_spot(here: Here, step: MeasureStep) -> CellSpot | None:
    """Return the place that is next: the one that somebody went to, else the first open one; None when all are read."""
    at = here.state.at_cell.get(step.id)
    gone_to = None if at is None else spot_of(step, CellAt(*at))
    return gone_to or next(iter(open_spots(here, step)), None)


def outside_cells(here: Here, step: MeasureStep) -> list[tuple[CellSpot, CellValue]]:
    """Return every place whose reading is out of limits, with it."""
    read = ((spot, value_at(here, step, spot)) for spot in step.cells())
    return [(spot, value) for spot, value in read if value is not None and value.side is not Side.WITHIN]


def cells_off(here: Here, step: MeasureStep) -> list[CellSpot]:
    """Return the places that are out of limits and should not be: what was found is what it is."""
    return [spot for spot, _ in outside_cells(here, step) if spot[1].when is not TakenWhen.FOUND]


def readings_at(here: Here, row: str, column: str = "") -> Iterator[tuple[MeasureStep, CellSpot, CellValue]]:
    """Yield what was read off in a row (id), and in a column (id; "" for any), table by table in the order of the work.

    The last one of a column is how it stands now.
    """
    for step in here.job.steps_of(MeasureStep):
        for spot in step.cells():
            value = value_at(here, step, spot)
            if value is not None and spot[0].id == row and column in ("", spot[1].id):
                yield step, spot, value


def side_at(value: Decimal, of: Limits) -> Side:
    """Return on which side of limits a value [their unit] lies; both ends are within."""
    if of.low is not None and value < of.low:
        return Side.BELOW
    return Side.ABOVE if of.high is not None and value > of.high else Side.WITHIN


def wide_band(of: Limits) -> tuple[Decimal, Decimal]:
    """Return the wide band round limits [their unit] in which a reading can well lie; what is outside is far off.

    It reaches twice the width of the limits beyond them; from a single limit, from a third of it to three times it.
    """
    low, high = of.low, of.high
    if low is not None and high is not None:
        room = _WIDE * (high - low) or abs(high) / 10 or Decimal(1)
        least = low - room
        return (max(least, Decimal(0)) if low >= 0 else least), high + room
    edge = low if low is not None else high or Decimal(0)
    far = abs(edge) * 3 or Decimal(1)
    if high is None:
        return (edge / 3, far) if edge > 0 else (edge - far, far)
    return (Decimal(0), far) if edge >= 0 else (edge * 3, Decimal(0))


def is_far(value: Decimal, of: Limits) -> bool:
    """Return whether a value [unit of the limits] is so far off that it was probably misheard or misread."""
    least, most = wide_band(of)
    return not least <= value <= most


def numbers_of(of: Limits) -> list[Decimal]:
    """Return the values [unit of the limits] that are listened for without a word before them, in rising order.

    They are those of the band in the steps in which the limits are written, nearest to the limits first where they are
    too many.
    """
    least, most = wide_band(of)
    ends = [end for end in (of.low, of.high) if end is not None]
    places = max(max(0, -int(end.as_tuple().exponent)) for end in ends)
    finest = most_decimals(of.unit)
    if places < finest and (most - least) * 10**places < _FEW:
        places += 1
    places = min(places, finest)
    unit = Decimal(1).scaleb(-places)
    first, last = (
        int((least / unit).to_integral_value(ROUND_CEILING)),
        int((most / unit).to_integral_value(ROUND_FLOOR)),
    )
    middle = sum(ends, Decimal(0)) / len(ends)
    found = [number * unit for number in range(first, last + 1) if abs(number * unit) < 1000]
    found = [Decimal(plain(value.normalize())) for value in found]
    return sorted(sorted(found, key=lambda value: abs(value - middle))[:MOST_NUMBERS])
