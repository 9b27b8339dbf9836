"""Packs of shims in the record: what was proposed from which reading, what was put in, and what is in the box."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from assistant.facts import Fact, Quantity, packs
from assistant.facts.codes import PackWay
from assistant.fastening.quantities import plain
from assistant.report.record.printing import Names, prints, prints_asked
from assistant.report.record.values import amount_text, limits_words


def _listed(sizes: Sequence[Decimal], unit: str) -> str:
    counted = Counter(sizes).items()
    texts = [f"{count} x {plain(size)}" if count > 1 else plain(size) for size, count in counted]
    return f"{' + '.join(texts)} {unit}" if texts else "no shim"


def pack_words(fact: packs.PackWorkedOut) -> str:
    """Return a proposal in words: what comes out and goes in, and the play to expect with its uncertainty."""
    if fact.way is PackWay.NONE:
        return "no pack can do it"
    left = f"{amount_text(fact.expected)} (within {amount_text(fact.uncertainty)}{', assumed' if fact.assumed else ''})"
    if fact.way is PackWay.NEAREST:
        off = amount_text(Quantity(abs(fact.off.value), fact.off.unit))
        side = "above" if fact.off.value > 0 else "below"
        return f"none reaches: {_listed(fact.shims, fact.unit)} leaves {left}, {off} {side} the limits"
    near = ", NEAR A LIMIT" if fact.near else ""
    if fact.way is PackWay.KEEP:
        return f"stays, {left}{near}"
    moves = [f"{verb} {_listed(of, fact.unit)}" for verb, of in (("take out", fact.out), ("put in", fact.new)) if of]
    return f"{', '.join(moves)}: {_listed(fact.shims, fact.unit)}, then {left}{near}"


@prints(packs.PackWorkedOut)
def _worked_out(fact: packs.PackWorkedOut, _: Names) -> str:
    wanted = limits_words(fact.wanted, fact.expected.unit)
    read = f"{amount_text(fact.reading)} with {_listed(fact.present, fact.unit)}"
    return f"pack for {fact.pack} proposed ({read}, wanted {wanted}): {pack_words(fact)}"


@prints(packs.PackPutIn)
def _put_in(fact: packs.PackPutIn, _: Names) -> str:
    return f"pack for {fact.pack} put in: {_listed(fact.shims, fact.unit)}"


@prints(packs.PackFound)
def _found(fact: packs.PackFound, _: Names) -> str:
    return f"pack for {fact.pack} found fitted: {_listed(fact.shims, fact.unit)}"


@prints(packs.PackFoundAsBefore)
def _found_as_before(fact: packs.PackFoundAsBefore, _: Names) -> str:
    was = fact.put_in or fact.found
    return f"pack for {fact.pack}: {'as the procedure says' if was is None else _listed(was.shims, was.unit)} again"


@prints_asked(packs.AskFittedShim)
def _ask_fitted(q: packs.AskFittedShim, _: Names) -> str:
    return f"take {_listed(q.shims, q.unit)} as the pack for {q.pack} that is found fitted, at {q.step}"


@prints(packs.PackAsBefore)
def _as_before(fact: packs.PackAsBefore, _: Names) -> str:
    if fact.dropped:
        return f"pack for {fact.pack}: what was proposed does not count"
    was = "as at the beginning" if fact.was is None else _listed(fact.was.shims, fact.was.unit)
    return f"pack for {fact.pack}: {was} again"


def pack_stands(fact: Fact, back: Fact) -> Fact | None:
    """Return what still stands of ``fact`` behind ``back``: no proposal, or no pack that was put in, taken back."""
    if isinstance(back, packs.PackFoundAsBefore) and isinstance(fact, packs.PackFound) and fact.pack == back.pack:
        stays = () if back.found is None else back.found.shims
        return fact if len(fact.shims) <= len(stays) and set(fact.shims) <= set(stays) else None
    if not isinstance(back, packs.PackAsBefore) or not isinstance(fact, packs.PackWorkedOut | packs.PackPutIn):
        return fact
    if fact.pack != back.pack or isinstance(fact, packs.PackWorkedOut) is not back.dropped:
        return fact
    was = back.was
    return fact if was is not None and (fact.step, fact.shims) == (was.step, was.shims) else None


@prints(packs.BoxKnown)
def _box(fact: packs.BoxKnown, _: Names) -> str:
    told = [
        f"{f'{one.kind} ' if one.kind else ''}{amount_text(one.size)}{f' x {one.count}' if one.count > 1 else ''}"
        for one in fact.shims
    ]
    return f"box of the bay: {', '.join(told) or 'empty'}"
