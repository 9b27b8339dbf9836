"""The pack that is found fitted: said shim by shim before the reading, in place of the one that the procedure names."""

from __future__ import annotations

from decimal import Decimal

from assistant.advice.thickness import GRAINS
from assistant.events import Command
from assistant.facts import Quantity
from assistant.facts.going import RefusedWhy
from assistant.facts.packs import AskFittedShim, PackFound
from assistant.fastening.quantities import LengthUnit
from assistant.procedure.packs import PackStock
from assistant.procedure.steps.check import CheckStep
from assistant.session.deciding import asking, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.here import Here
from assistant.session.packs import work_out_packs
from assistant.session.shim_box import grains_read

_THICKEST = 2 * GRAINS[LengthUnit.INCH]
"""A pack is no thicker [grains]; ours: who says more has said something else."""


def take_fitted_shim(d: Deciding, command: Command) -> None:
    """Read back a shim that was found fitted, or with zero that there is none; in inches it is said in thousandths."""
    step = d.step
    if not isinstance(step, CheckStep) or step.pack is None or timers.too_late(d):
        return
    unit, said = step.pack.shims.unit, command.number or Decimal(0)
    size = said / 1000 if unit is LengthUnit.INCH else said
    shims = (*_found_so_far(d, step.pack), size) if size else ()
    grains = [grains_read(Quantity(one, unit.value)) for one in shims]
    if None in grains or sum(one or 0 for one in grains) > _THICKEST:
        d.refuse(RefusedWhy.NO_SUCH_SHIM)
        return
    asking.ask(d, AskFittedShim(step.id, step.pack.id, unit.value, size, tuple(sorted(shims, reverse=True))))


def _found_so_far(here: Here, stock: PackStock) -> tuple[Decimal, ...]:
    """Return the shims that were said; what is said behind a pack that was put in begins a new one."""
    found = here.state.packs.found.get(stock.id)
    return () if found is None else found.shims


def _found(d: Deciding, question: AskFittedShim, _reason: str) -> None:
    """Take it; a reading that was taken with another pack is worked out anew."""
    d.put(PackFound(step=question.step, pack=question.pack, unit=question.unit, shims=question.shims))
    step, worked = d.step, d.state.packs.worked_out.get(question.pack)
    if worked is not None and isinstance(step, CheckStep) and step.id == worked.step:
        work_out_packs(d, step, worked.reading)


add_grant(AskFittedShim, _found, anew=("pack_found", "reading", "reading_below"), passes=False)
