"""Fasteners in the record: what was counted out and in, renewed and scrapped, by group."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.facts.codes import Direction, FreedHow
from assistant.facts.kinds import count, counting
from assistant.facts.kinds.count import Counted
from assistant.facts.kinds.fit import PartFitted
from assistant.facts.kinds.retightened import RetighteningAsBefore, RetighteningCounted
from assistant.facts.kinds.tighten import BoltReplaced, BoltsLoosened, NewConfirmed
from assistant.facts.kinds.trouble import BoltFreed, BoltHeld
from assistant.journal.port import Entry
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Group, Procedure
from assistant.procedure.steps.count import CountStep
from assistant.report.record.model import Again, Fasteners
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.printing import AGAIN, Names, prints, prints_asked
from assistant.report.record.values import numbers


@prints(counting.Miscounted)
def _miscounted(fact: counting.Miscounted, _: Names) -> str:
    return f"counted {fact.count}, which does not match"


@prints(count.Counted)
def _counted(fact: count.Counted, _: Names) -> str:
    end = "" if fact.is_right else ": DOES NOT MATCH"
    return f"{fact.group} counted {fact.direction}: {fact.count} of {fact.expected}{end}{AGAIN[fact.repeated]}"


def fasteners(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[Fasteners, ...]:
    """Return the count of each group: planned, out, back in, renewed and scrapped."""
    if procedure is None:
        return ()
    counts = {fact.step: fact.count for entry in entries if isinstance(fact := entry.fact, Counted)}
    everything = procedure.every_step
    steps = [step for step in everything if isinstance(step, CountStep)]
    return tuple(_group(group, [step for step in steps if step.group == group.id], counts, entries)
                 for group in procedure.groups)  # fmt: skip


def _group(group: Group, steps: Sequence[CountStep], counts: Mapping[str, int], entries: Sequence[Entry]) -> Fasteners:
    renewed: set[int] = set()
    loose: set[int] = set()
    replaced = 0
    fitted: dict[str, int] = {}
    for entry in entries:
        match entry.fact:
            case NewConfirmed(group=group.id, bolts=bolts):
                renewed |= set(bolts)
                replaced += len(loose & set(bolts))
                loose -= set(bolts)
            case BoltReplaced(group=group.id, bolts=bolts):
                renewed |= set(bolts)
                replaced += len(bolts)
                loose -= set(bolts)
            case BoltFreed(group=group.id, bolt=bolt, how=FreedHow.REPLACED):
                renewed.add(bolt)
                replaced += 1
                loose.discard(bolt)
            case BoltHeld(group=group.id, bolt=bolt, worn=True):
                loose.add(bolt)
            case BoltsLoosened(group=group.id, bolts=bolts) if group.single_use:
                loose |= set(bolts)
            case PartFitted(spare=group.spare) as fact if group.spare:
                fitted[fact.step] = fact.count
    new = max(len(renewed), min(sum(fitted.values()), len(group.bolts)))
    ways = {way: [step for step in steps if step.direction is way] for way in Direction}
    total = {
        way: sum(counts.get(step.id, 0) for step in row) if any(step.id in counts for step in row) else None
        for way, row in ways.items()
    }
    out, back = total[Direction.OUT], total[Direction.IN]
    missing = [step for step in steps if step.id not in counts]
    if not steps:
        result = "agrees" if not group.single_use else "no count asked for"
    elif missing:
        result = "COUNT MISSING"
    elif ways[Direction.OUT] and ways[Direction.IN] and out != back:
        result = f"DOES NOT AGREE: {out} out, {back} in"
    else:
        off = [one for one, row in ((out, ways[Direction.OUT]), (back, ways[Direction.IN])) if row]
        same = all(one == len(group.bolts) for one in off)
        result = (
            "agrees"
            if same
            else f"DIFFERS FROM THE PROCEDURE: {numbers([one for one in off if one is not None])} of {len(group.bolts)}"
        )
    if group.single_use and new < len(group.bolts):
        missing_new = f"new ones for {len(group.bolts) - new} of {len(group.bolts)} NOT CONFIRMED"
        result = missing_new if result in ("agrees", "no count asked for") else f"{result}; {missing_new}"
    elif result == "no count asked for":
        result = "agrees"
    # What may be used only once is scrap once it came out and new ones were confirmed.
    scrapped = (out or 0) if group.single_use and new else 0
    return Fasteners(
        group.name, group.size, len(group.bolts), out, back, tuple(sorted(renewed)), new, scrapped + replaced, result,
        _again(group, entries), group.retighten_at_most,
    )  # fmt: skip


def _again(group: Group, entries: Sequence[Entry]) -> tuple[Again, ...]:
    """Return which bolts were tightened again how often; those in whose place new ones came begin with nothing."""
    times: dict[int, int] = {}
    for entry in entries:
        match entry.fact:
            case RetighteningCounted(group=group.id) | RetighteningAsBefore(group=group.id) as fact:
                times |= dict(zip(fact.bolts, fact.times, strict=False))
            case NewConfirmed(group=group.id, bolts=bolts) | BoltReplaced(group=group.id, bolts=bolts):
                times |= dict.fromkeys(bolts, 0)
            case BoltFreed(group=group.id, bolt=bolt, how=FreedHow.REPLACED):
                times[bolt] = 0
    return tuple(
        Again(so_often, tuple(sorted(bolt for bolt, one in times.items() if one == so_often)))
        for so_often in sorted({*times.values()} - {0})
    )


@prints_asked(counting.AskCount)
def _ask_count(q: counting.AskCount, _: Names) -> str:
    return f"take a count of {q.count}, which does not match, at {q.step}"


KINDS.add(CountStep, RECORD, RecordKind(fasteners=fasteners, told_apart=(Counted,)))
