"""The words of what was judged by values that were read off at bolts."""

from __future__ import annotations

from assistant.facts.kinds import judged
from assistant.report.record.printing import Names, prints
from assistant.report.record.values import amount_text, numbers


@prints(judged.LengthsJudged)
def _lengths(fact: judged.LengthsJudged, _: Names) -> str:
    told = [
        f"free lengths of {fact.group}, at most {amount_text(fact.limit)} to be used again",
        f"TOO LONG, not used again: {numbers(fact.beyond)}" if fact.beyond else "",
        f"within {amount_text(fact.uncertainty)} of the limit: {numbers(fact.close)}" if fact.close else "",
    ]
    return "; ".join(filter(None, told))
