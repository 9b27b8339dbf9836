"""The words of what was judged by values that were read off at bolts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from assistant.facts.codes import ReadAt
from assistant.facts.kinds import judged
from assistant.facts.kinds.tighten import BoltReplaced, BoltsLoosened, BoltsTakenBack
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


@prints(judged.DoubtLeft)
def _left(fact: judged.DoubtLeft, _: Names) -> str:
    return f"{fact.group} {fact.bolt} left as it is, though in doubt: {fact.reason}"


@prints_asked(judged.AskDoubtLeft)
def _ask_left(q: judged.AskDoubtLeft, _: Names) -> str:
    return f"leave {q.group} {q.bolt} as it is, though in doubt"


def doubts(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield the bolts that are in doubt, also those that somebody left as they are, with the reason."""
    found: dict[tuple[str, int], Open] = {}
    for entry in entries:
        match entry.fact:
            case judged.BoltDoubted() as fact:
                found[fact.group, fact.bolt] = Open(strike_words(fact), fact.step)
            case judged.DoubtLeft() as fact if (fact.group, fact.bolt) in found:
                key = fact.group, fact.bolt
                found[key] = replace(found[key], reason=fact.reason)
            case judged.BoltRead() | BoltHeld() as fact:
                found.pop((fact.group, fact.bolt), None)
            case BoltReplaced() | BoltsLoosened() | BoltsTakenBack() as fact:
                for bolt in fact.bolts:
                    found.pop((fact.group, bolt), None)
    yield from found.values()
