"""The words of a wait that is left early."""

from __future__ import annotations

from assistant.facts.kinds import wait
from assistant.report.record.printing import Names, prints_asked


@prints_asked(wait.AskLeaveWait)
def _leave_wait(q: wait.AskLeaveWait, names: Names) -> str:
    return f"leave the wait {names.timer(q.timer)} {q.seconds_left} s early"
