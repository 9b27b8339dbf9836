"""The words of what was judged by values that were read off at bolts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from assistant.facts.codes import ReadAt
from assistant.facts.kinds import judged, retightened
from assistant.facts.kinds.tighten import BoltReplaced, BoltsLoosened, BoltsTakenBack, BoltsTightened
from assistant.facts.kinds.trouble import BoltHeld
from assistant.journal.port import Entry
from assistant.report.record.model import Open
from assistant.report.record.printing import AGAIN, Names, prints, prints_asked
from assistant.report.record.values import amount_text, numbers


@prints(judged.LengthsJudged)
def _lengths(fact: judged.LengthsJudged, _: Names) -> str:
    told = [
        f"free lengths of {fact.group}, at most {amount_text(fact.limit)} to be used again",
        f"TOO LONG, not used again: {numbers(fact.beyond)}" if fact.beyond else "",
        f"within {amount_text(fact.uncertainty)} of the limit: {numbers(fact.close)}" if fact.close else "",
    ]
    return "; ".join(filter(None, told))


_WHAT = {ReadAt.TORQUE: "final torque", ReadAt.ANGLE: "angle at torque"}


@prints(judged.BoltRead)
def _read(fact: judged.BoltRead, _: Names) -> str:
    return f"{_WHAT[fact.what]} of {fact.group} {fact.bolt}: {amount_text(fact.reading)}{AGAIN[fact.repeated]}"


@prints(judged.BoltDoubted)
def _doubted(fact: judged.BoltDoubted, _: Names) -> str:
    return strike_words(fact)


def strike_words(fact: judged.BoltDoubted) -> str:
    """Return a doubt with what it was made of."""
    return (
        f"{fact.group} {fact.bolt}, stage {fact.stage}: {_WHAT[fact.what]} {amount_text(fact.reading)} is well "
        f"{fact.side.value} its neighbours: IN DOUBT (median {amount_text(fact.median)}, MAD {amount_text(fact.mad)}, "
        f"{fact.number} bolts, modified z-score {fact.score})"
    )


@prints(judged.JointDoubted)
def _joint_doubted(fact: judged.JointDoubted, _: Names) -> str:
    return joint_words(fact)


def joint_words(fact: judged.JointDoubted) -> str:
    """Return a doubt with what the joint can account for, and by what."""
    turned = f" and a further {amount_text(fact.turned)}" if fact.turned else ""
    return (
        f"{fact.group} {fact.bolt}, stage {fact.stage}: {_WHAT[fact.what]} {amount_text(fact.reading)} is "
        f"{fact.side.value} what its joint allows: IN DOUBT (from {amount_text(fact.before)}{turned}, "
        f"{amount_text(fact.least)} to {amount_text(fact.most)}; clamp length {amount_text(fact.clamp_length)}, "
        f"{fact.clamped or 'aluminium to steel'}, friction {fact.least_friction} to {fact.most_friction}, tool "
        f"± {fact.accuracy} %; worked out, not measured)"
    )


@prints(retightened.MovedOnEarly)
def _moved_on(fact: retightened.MovedOnEarly, _: Names) -> str:
    return moved_words(fact)


def moved_words(fact: retightened.MovedOnEarly) -> str:
    """Return a doubt with what a bolt had first, and what moved it on."""
    return (
        f"{fact.group} {fact.bolt}, stage {fact.stage}: moved on at {amount_text(fact.again)}, below {fact.least} % of "
        f"{amount_text(fact.first)}: IN DOUBT"
    )


@prints(retightened.RetighteningCounted)
def _counted(fact: retightened.RetighteningCounted, _: Names) -> str:
    """Return for which time bolts are tightened again; bolts that share one are told together."""
    told = []
    for time in sorted(set(fact.times)):
        bolts = [bolt for bolt, one in zip(fact.bolts, fact.times, strict=True) if one == time]
        kept = [bolt for bolt in bolts if bolt not in fact.spent]
        told += [f"{numbers(kept)}: {time} of at most {fact.at_most}"] if kept else []
    spent = (
        [f"NEW ONES MUST COME for {numbers(fact.spent)}: tightened again {fact.at_most} times"] if fact.spent else []
    )
    return f"{fact.group} tightened again, {'; '.join((*told, *spent))}"


@prints(retightened.RetighteningAsBefore)
def _as_before(fact: retightened.RetighteningAsBefore, _: Names) -> str:
    each = ", ".join(f"{bolt}: {time}" for bolt, time in zip(fact.bolts, fact.times, strict=True))
    return f"{fact.group} tightened again so often as before: {each}"


@prints(judged.DoubtLeft)
def _left(fact: judged.DoubtLeft, _: Names) -> str:
    return f"{fact.group} {fact.bolt} left as it is, though in doubt: {fact.reason}"


@prints_asked(judged.AskDoubtLeft)
def _ask_left(q: judged.AskDoubtLeft, _: Names) -> str:
    return f"leave {q.group} {q.bolt} as it is, though in doubt"


def _doubt_words(fact: judged.BoltDoubted | judged.JointDoubted | retightened.MovedOnEarly) -> str:
    match fact:
        case judged.BoltDoubted():
            return strike_words(fact)
        case judged.JointDoubted():
            return joint_words(fact)
    return moved_words(fact)


def doubts(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield the bolts that are in doubt, also those that somebody left as they are, with the reason."""
    found: dict[tuple[str, int], Open] = {}
    for entry in entries:
        match entry.fact:
            case judged.BoltDoubted() | judged.JointDoubted() | retightened.MovedOnEarly() as fact:
                said = _doubt_words(fact)
                known = found.get((fact.group, fact.bolt))
                found[fact.group, fact.bolt] = Open(f"{known.what}; {said}" if known else said, fact.step)
            case judged.DoubtLeft() as fact if (fact.group, fact.bolt) in found:
                key = fact.group, fact.bolt
                found[key] = replace(found[key], reason=fact.reason)
            case judged.BoltRead() | BoltHeld() as fact:
                found.pop((fact.group, fact.bolt), None)
            case BoltsTightened() as fact if fact.reading is not None:
                for bolt in fact.bolts:
                    found.pop((fact.group, bolt), None)
            case BoltReplaced() | BoltsLoosened() | BoltsTakenBack() as fact:
                for bolt in fact.bolts:
                    found.pop((fact.group, bolt), None)
    yield from found.values()
