"""What is said and shown of the packs that are proposed: in short behind the reading, in full on request."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.advice.thickness import grains_in
from assistant.facts import Quantity
from assistant.facts.codes import PackWay
from assistant.facts.packs import AskFittedShim, PackFound, PackWorkedOut
from assistant.fastening.quantities import LengthUnit, plain
from assistant.language.sentence import Sentence
from assistant.language.topics.shims import PackSaid
from assistant.procedure.packs import PackStock
from assistant.procedure.rows import slug
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.do import DoStep
from assistant.session.here import Here
from assistant.session.packs import pack_steps
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls, step_called

_INCH, _THOU = LengthUnit.INCH.value, "thou"


def _name(here: Here, pack: str) -> str:
    step = pack_steps(here).get(pack)
    return pack if step is None or step.pack is None else step.pack.name


def _for_the_ear(value: Decimal, unit: str) -> Quantity:
    """Return a size as the trade says it: inches of a shim in thousandths."""
    return Quantity((value * 1000).normalize() + 0, _THOU) if unit == _INCH else Quantity(value.normalize() + 0, unit)


def _counted(sizes: Sequence[Decimal], unit: str) -> list[tuple[Quantity, int]]:
    return [(_for_the_ear(size, unit), count) for size, count in Counter(sizes).items()]


def _said(here: Here, fact: PackWorkedOut) -> PackSaid:
    return PackSaid(
        name=_name(here, fact.pack),
        way=fact.way,
        out=_counted(fact.out, fact.unit),
        new=_counted(fact.new, fact.unit),
        expected=fact.expected,
        off=fact.off,
        near=fact.near,
    )


@tells(PackWorkedOut)
def _worked_out(t: Telling, fact: PackWorkedOut) -> None:
    """Say the pack; and, where another one was proposed that nobody put in, that it does not count."""
    t.say(*t.language.shims.pack_proposed(_said(t, fact), in_full=False))
    before = t.before.state.packs.worked_out.get(fact.pack)
    if before is not None and before.way is PackWay.CHANGE and sorted(before.shims) != sorted(fact.present):
        t.say(t.language.shims.counts_from_first(in_job=fact.counted))


@tells(PackFound)
def _found(t: Telling, fact: PackFound) -> None:
    first = fact.pack not in t.before.state.packs.found
    t.say(*t.language.shims.fitted_pack(_total(fact), len(fact.shims), first=first))


def _total(fact: PackFound) -> Quantity:
    return _for_the_ear(sum(fact.shims, Decimal(0)), fact.unit)


def _fitted_words(t: Telling, question: AskFittedShim) -> list[str]:
    size, more = _for_the_ear(question.shim, question.unit), len(question.shims) > 1
    return [t.language.shims.fitted_shim(_name(t, question.pack), size, more=more), t.text(Sentence.SAY_CONFIRMED)]


@calls(PackFound)
def _call_found(t: Telling, fact: PackFound) -> str:
    return step_called(t, fact.step, t.language.taking_back.shim_was_found(_total(fact)), apart=True)


def packs_told(t: Telling) -> list[str]:
    """Answer which pack: those that the present step puts in, or the one that was worked out last."""
    known, step = t.state.packs.worked_out, t.step
    here = [known[name] for name in map(slug, step.shim_for) if name in known] if isinstance(step, DoStep) else []
    told = here or list(known.values())[-1:]
    if not told:
        return t.language.shims.no_pack_yet()
    return [words for one in told for words in t.language.shims.pack_proposed(_said(t, one), in_full=True)]


def packs_to_put_in(t: Telling, step: DoStep) -> list[str]:
    """Say the packs that ``step`` puts in, unless the same answer has just said them."""
    said = {fact.pack for fact in t.facts if isinstance(fact, PackWorkedOut)}
    worked = [t.state.packs.worked_out.get(name) for name in map(slug, step.shim_for) if name not in said]
    return [
        words
        for one in worked
        if one is not None and one.way is PackWay.CHANGE
        for words in t.language.shims.pack_proposed(_said(t, one), in_full=False)
    ]


def packs_shown(here: Here, names: Sequence[str]) -> list[Mapping[str, Any]]:
    """Return what is proposed for the packs of ``names`` as a display may show it: JSON values."""
    known = here.state.packs.worked_out
    return [
        {
            "name": _name(here, one.pack),
            "way": one.way.value,
            "out": [plain(size) for size in one.out],
            "new": [plain(size) for size in one.new],
            "shims": [plain(size) for size in one.shims],
            "unit": one.unit,
            "expected": f"{plain(one.expected.value)} {one.expected.unit}",
            "near": one.near,
        }
        for one in (known[name] for name in map(slug, names) if name in known)
    ]


def pack_read(here: Here, step: CheckStep) -> Mapping[str, Any]:
    """Return the pack from which a reading counts, and what is proposed there, as a display may show it."""
    if step.pack is None:
        return {}
    shown = {"packs": packs_shown(here, [step.pack.name]), "fitted": [_fitted_shown(here, step.pack)]}
    return {"proposed": {"each": "", "columns": [], "rows": [], **shown}}


def _fitted_shown(here: Here, stock: PackStock) -> Mapping[str, Any]:
    """Return the pack that is in just now, and how that is known."""
    put_in, found = here.state.packs.put_in.get(stock.id), here.state.packs.found.get(stock.id)
    given = [plain(grains_in(one, stock.shims.unit.value)) for one in stock.fitted.sizes] if stock.fitted else []
    known = put_in or found
    return {
        "name": stock.name,
        "shims": given if known is None else [plain(size) for size in known.shims],
        "unit": stock.shims.unit.value if known is None else known.unit,
        "by": "put_in" if put_in else "found" if found else "procedure",
    }


add_read_back(AskFittedShim, ReadBack(_fitted_words))
