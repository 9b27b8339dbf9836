"""What of a job concerns the customer: the extra work, how it stands, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from assistant.facts.extra import GrantWay, Severity
from assistant.procedure.model import Step
from assistant.session.branching import branch_of
from assistant.session.extra_work import stands
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.state import ExtraIs


@dataclass(frozen=True, slots=True)
class CustomerWork:
    """One piece of extra work: the key and the number of it, and how it stands.

    ``title`` is that of its branch, ``text`` why it is offered, or the words of a finding; ``minutes`` are those that
    the procedure says, or the mechanic of a finding [min]. ``picture`` is the file of the picture of its step.
    ``waits`` is what the customer answered and nobody in the workshop has heard yet, True for granted.
    """

    work: str
    number: int
    title: str
    text: str
    severity: Severity | None
    minutes: Decimal | None
    picture: str
    stands: ExtraIs
    way: GrantWay | None
    at_ms: int
    waits: bool | None = None

    @property
    def is_open(self) -> bool:
        """Whether the customer may still answer."""
        return self.waits is None and self.stands in (ExtraIs.ASKED, ExtraIs.ADVISED)


def works_of(here: Here) -> list[CustomerWork]:
    """Return all extra work, in the order in which it came up."""
    waits = {one.work: one for one in reversed(here.state.page_answers) if not one.outdated}  # the first ones
    found = []
    for work, extra in here.state.extra.items():
        branch = branch_of(here.job, work)
        answer = waits.get(work) if extra.stands in (ExtraIs.ASKED, ExtraIs.ADVISED) else None
        step = _step(here, extra.step if branch is None else work.partition(":")[0])
        found.append(
            CustomerWork(
                work, extra.number, "" if branch is None else branch.title or branch.steps[0].text,
                extra.text if branch is None else branch.why, extra.severity,
                extra.minutes if branch is None else branch.minutes, step.picture if step is not None else "",
                stands(here, work), extra.way, extra.at_ms, None if answer is None else answer.granted,
            )
        )  # fmt: skip
    return found


def _step(here: Here, key: str) -> Step | None:
    place = here.job.places[here.job.index[key]] if key in here.job.index else None
    return place.step if isinstance(place, StepPlace) else None
