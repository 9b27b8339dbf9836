"""The time of extra work without steps, such as a finding: about how long it takes, and that it is worked on.

Extra work with steps needs none of it: it is worked on while the job stands in its steps.
"""

from __future__ import annotations

from decimal import Decimal

from assistant.events import Command
from assistant.facts.extra import ExtraMinutes, FindingBegun, FindingLeft
from assistant.facts.going import RefusedWhy
from assistant.session import extra_work
from assistant.session.branching import branch_of
from assistant.session.deciding.core import Deciding
from assistant.session.state import ExtraIs


def take_minutes(d: Deciding, command: Command) -> None:
    """Take how long the newest finding takes that nobody has answered yet, or that is granted and not done."""
    minutes = int(command.number or 0)
    may = extra_work.works(d, ExtraIs.ASKED, ExtraIs.ADVISED, ExtraIs.GRANTED)
    found = [(extra.number, work) for work, extra in may if branch_of(d.job, work) is None]
    if not found:
        d.refuse(RefusedWhy.NO_EXTRA)
    elif minutes < 1:
        d.refuse(RefusedWhy.NO_MINUTES)
    else:
        number, work = max(found)
        d.put(ExtraMinutes(work=work, number=number, minutes=Decimal(minutes)))


def begin_finding(d: Deciding, work: str) -> None:
    """Let the time of granted work without steps run; that of another one stops."""
    if d.state.clocked == work:
        d.refuse(RefusedWhy.DONE_BEFORE)
        return
    stop_finding(d)
    d.put(FindingBegun(work=work, number=d.state.extra[work].number))


def stop_finding(d: Deciding) -> None:
    """Let the time of such work stand, if any is worked on."""
    work = d.state.clocked
    if work:
        d.put(FindingLeft(work=work, number=d.state.extra[work].number if work in d.state.extra else 0))


def leave_finding(d: Deciding, _: Command) -> None:
    """Take that such work is left for now, and the job goes on."""
    if d.state.clocked:
        stop_finding(d)
    else:
        d.refuse(RefusedWhy.NOT_CLOCKED)
