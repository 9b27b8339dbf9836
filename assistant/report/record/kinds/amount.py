"""How much was filled in: its words, and the amount itself."""

from __future__ import annotations

from assistant.facts import Fact, Quantity
from assistant.facts.kinds import amount
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.do import DoStep
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.printing import AGAIN, Names, prints, prints_asked
from assistant.report.record.values import amount_text, limits_words


@prints(amount.Filled)
def _filled(fact: amount.Filled, _: Names) -> str:
    off = "" if fact.is_right else f": OUT OF LIMITS ({limits_words(fact.limits, fact.unit)})"
    return f"filled {fact.value} {fact.unit} (asked for {fact.amount} {fact.unit}){off}{AGAIN[fact.repeated]}"


@prints_asked(amount.AskAmount)
def _ask(q: amount.AskAmount, _: Names) -> str:
    return f"take {amount_text(q.filled)} as filled in at {q.step}, which is not as it should be"


def _amount(fact: Fact) -> tuple[str, Quantity] | None:
    return (fact.step, Quantity(fact.value, fact.unit)) if isinstance(fact, amount.Filled) else None


KINDS.add(DoStep, RECORD, RecordKind(filled=_amount))
