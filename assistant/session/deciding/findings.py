"""What was found while the work was done: its words are taken down, then how bad it is."""

from __future__ import annotations

from assistant.facts.correcting import FindingCorrected
from assistant.facts.extra import FindingKept, FindingTaken, Severity
from assistant.session.deciding.core import Deciding
from assistant.session.extra_work import next_number
from assistant.session.open_findings import finding_key, may_change


def take_words(d: Deciding, text: str, *, complete: bool) -> None:
    """Put the words of a finding down; it is at the present step, unless another is named."""
    d.put(FindingTaken(text=text, step=d.step.id if d.step else None, complete=complete, at_ms=d.now_ms))


def keep(d: Deciding, severity: Severity, *, silent: bool = False) -> None:
    """Keep the finding that is taken down; ``silent`` where nobody said how bad it is.

    The one whose words it corrects counts in these then; where somebody answered for that one meanwhile it stays as it
    is, and this is a finding of its own.
    """
    found = d.state.finding
    if found is None:
        raise RuntimeError("There is no finding.")
    work = finding_key(found.number)
    if may_change(d.state, work):
        d.put(
            FindingCorrected(
                work=work, number=found.number, text=found.text, step=found.step or None, severity=severity,
                complete=found.complete,
            )
        )  # fmt: skip
        return
    number = next_number(d)
    d.put(
        FindingKept(
            work=finding_key(number), number=number, text=found.text, step=found.step or None, severity=severity,
            complete=found.complete, silent_ms=d.now_ms if silent else 0,
        )
    )  # fmt: skip


def keep_unjudged(d: Deciding) -> None:
    """Keep a finding of which nobody said how bad it is, as the gravest: no words of anybody are lost."""
    keep(d, Severity.BEFORE_RUNNING, silent=True)
