"""The shims in hand: those of the bay's list where it has some of their kind, else those of the procedure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.advice.thickness import Thicknesses, written_grains
from assistant.facts import Quantity
from assistant.facts.codes import ShimWay
from assistant.faults import Fault
from assistant.procedure.packs import PackStock
from assistant.procedure.rows import slug
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.session.here import Here


def grains_read(value: Quantity) -> int | None:
    """Return a length in grains; None where it is none, or finer than anything measures."""
    grains = written_grains(value.value, value.unit)
    return None if isinstance(grains, Fault) else grains


def found_first(here: Here, stock: PackStock) -> tuple[int, ...]:
    """Return the shims [grains] of the pack that was there first: as it was found fitted, or as the procedure says."""
    found = here.state.packs.found.get(stock.id)
    if found is None:
        return stock.fitted.sizes if stock.fitted else ()
    sizes = (grains_read(Quantity(one, found.unit)) for one in found.shims)
    return tuple(size for size in sizes if size)


def in_box(here: Here, kind: str) -> Counter[int] | None:
    """Return how many shims [count] of each size [grains] the bay's list has of ``kind``; None where it has none."""
    rows = [one for one in here.state.packs.box or () if slug(one.kind) == slug(kind)]
    found: Counter[int] = Counter()
    for one in rows:
        size = grains_read(one.size)
        found[size or 0] += one.count if size else 0
    return +found if rows else None


def in_hand(here: Here, kind: str, given: Thicknesses | None, but: str = "") -> Counter[int]:
    """Return how many shims [count] of each size [grains] are in hand; ``given`` are those of the procedure.

    What is proposed elsewhere than in the table, or the pack, with the id ``but`` is not in the box any more.
    """
    box = in_box(here, kind)
    if box is None:
        return Counter(given.sizes if given else ())
    return box - Counter(_taken(here, kind, but))


def _taken(here: Here, kind: str, but: str) -> Iterator[int]:
    """Yield the sizes [grains] that other proposals take from the box."""
    for table in here.job.steps_of(MeasureStep):
        if table.id == but or table.shims is None or slug(table.shims.kind) != slug(kind):
            continue
        worked = here.state.shims.get(table.id)
        found = (grains_read(one.shim) for one in worked.proposals if one.way is ShimWay.BOX) if worked else ()
        yield from (size for size in found if size)
    seen = {but}
    for step in here.job.steps_of(CheckStep):
        if step.pack is None or step.pack.id in seen or slug(step.pack.kind) != slug(kind):
            continue
        seen.add(step.pack.id)
        worked_out = here.state.packs.worked_out.get(step.pack.id)
        if worked_out is not None:
            shims = (grains_read(Quantity(one, worked_out.unit)) for one in worked_out.shims)
            own = Counter(found_first(here, step.pack))
            yield from (Counter(size for size in shims if size) - own).elements()
