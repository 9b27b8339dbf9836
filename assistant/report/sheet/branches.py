"""How a branch begins on a work sheet: what leads there, what it needs, how long it is, and what follows."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.fastening.quantities import plain
from assistant.procedure.model import Branch, Onward, When
from assistant.procedure.only_if import things_of
from assistant.report.sheet.listed import Listed

_WHEN = {
    When.NO: "Only if the answer is no",
    When.YES: "Only if the answer is yes",
    When.OUTSIDE: "Only if the reading is out of limits",
    When.BELOW: "Only if the reading is below its limits",
    When.ABOVE: "Only if the reading is above its limits",
    When.OFFER: "Only if it is granted",
}
_THEN = {
    Onward.AGAIN: "do the check again",
    Onward.STOP: "the job stops; it goes on only for a reason: ____________________",
}
_GRANT = "☐ granted  ☐ declined   by ____________________   ☐ by telephone  ☐ in person   at __________"


def branch_title(branch: Branch) -> str:
    """Return what leads into a branch, and what it is called."""
    return f"{_WHEN[branch.when]}: {branch.title}" if branch.title else _WHEN[branch.when]


def branch_facts(listed: Listed, branch: Branch) -> Iterator[tuple[str, str]]:
    """Yield what must be known of a branch."""
    if branch.why:
        yield "Why", branch.why
    needs = [listed.names.get(name, name) for name in things_of(branch)]
    if needs:
        yield "Needs", ", ".join(needs)
    if branch.minutes is not None:
        yield "Time", f"{plain(branch.minutes)} min"
    if branch.then in _THEN:
        yield "Then", _THEN[branch.then]


def branch_answer(branch: Branch) -> str:
    """Return what is written down where a branch begins."""
    return _GRANT if branch.extra else "☐ taken"
