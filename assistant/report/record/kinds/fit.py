"""New parts in the record: how many of which spare."""

from __future__ import annotations

from assistant.facts import Fact
from assistant.facts.kinds import fit
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.fit import FitStep
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.printing import AGAIN, Names, prints


@prints(fit.PartFitted)
def _fitted(fact: fit.PartFitted, _: Names) -> str:
    end = "" if fact.is_right else ": DOES NOT MATCH"
    return f"{fact.spare} fitted: {fact.count} of {fact.expected}{end}{AGAIN[fact.repeated]}"


def _spare(fact: Fact) -> tuple[str, str, int] | None:
    return (fact.spare, fact.step, fact.count) if isinstance(fact, fit.PartFitted) else None


KINDS.add(FitStep, RECORD, RecordKind(fitted=_spare))
