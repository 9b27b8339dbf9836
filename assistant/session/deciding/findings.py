"""What was found while the work was done: its words are taken down, then how bad it is."""

from __future__ import annotations

from assistant.facts.extra import FindingKept, FindingTaken, Severity
from assistant.session.deciding.core import Deciding
from assistant.session.extra_work import next_number
from assistant.session.here import Here
from assistant.session.state import ExtraIs, finding_key


def take_words(d: Deciding, text: str, *, complete: bool) -> None:
    """Put the words of a finding down; it is at the present step, unless another is named."""
    d.put(FindingTaken(text=text, step=d.step.id if d.step else None, complete=complete, at_ms=d.now_ms))


def may_change(d: Here, work: str) -> bool:
    """Return whether a confirmed finding can be put otherwise: nobody answered for it, and nothing of it was done."""
    kept = d.state.extra.get(work)
    open_yet = kept is not None and kept.severity is not None and kept.stands in (ExtraIs.ASKED, ExtraIs.ADVISED)
    return open_yet and all(one.work != work for one in d.state.page_answers)


def keep(d: Deciding, severity: Severity, *, silent: bool = False) -> None:
    """Keep the finding that is taken down; ``silent`` where nobody said how bad it is.

    It takes the place of the one whose words it corrects, unless somebody answered for that one meanwhile.
    """
    found = d.state.finding
    if found is None:
        raise RuntimeError("There is no finding.")
    number = found.number if may_change(d, finding_key(found.number)) else next_number(d)
    d.put(
        FindingKept(
            work=finding_key(number), number=number, text=found.text, step=found.step or None, severity=severity,
            complete=found.complete, silent_ms=d.now_ms if silent else 0,
        )
    )  # fmt: skip


def keep_unjudged(d: Deciding) -> None:
    """Keep a finding of which nobody said how bad it is, as the gravest: no words of anybody are lost."""
    keep(d, Severity.BEFORE_RUNNING, silent=True)
