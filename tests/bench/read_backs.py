"""How many numbers of the demo jobs are read back: ``python -m tests.bench.read_backs [PROCEDURE.yaml ...]``.

For each place where a value is read off, counted or filled in: of all values within its limits, in the steps in which
they can be read, the share that sounds like another that can be there; a count as the procedure expects it. A reading
in a table is said back and goes on, any other waits for "confirmed". Before the table of like numbers, none was read
back in quiet; in noise every reading still is.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Limits, Procedure
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells
from assistant.session.job import Job
from assistant.session.kinds.reading import is_within
from assistant.terminal.tables import table
from tests.jobs import ROOT


def like(value: Decimal) -> set[Decimal]:
    """Return the values that ``value`` may have been."""
    numbers = ENGLISH.numbers
    others = map(numbers.parse_number_words, numbers.may_have_been(numbers.heard_words(value)))
    return {other for other in others if other is not None}


def share_of(of: Limits) -> Fraction:
    """Return the share of the values within limits that are read back."""
    values = [value for value in cells.numbers_of(of) if is_within(value, of)]
    doubted = sum(any(not cells.is_far(other, of) for other in like(value)) for value in values)
    return Fraction(doubted, len(values)) if values else Fraction(0)


def places_of(procedure: Procedure) -> Iterator[tuple[str, Fraction]]:
    """Yield each place where a number is given: "waits" for confirmed or "goes on", and the share read back."""
    job = Job(procedure)
    for step in job.steps_of(CheckStep):
        if step.limits is not None:
            yield "waits", share_of(step.limits)
    for table_step in job.steps_of(MeasureStep):
        for _, column in table_step.cells():
            yield "goes on", share_of(column.limits)
    for do in job.steps_of(DoStep):
        if do.amount is not None:
            yield "waits", share_of(Limits(*do.bounds, do.amount.unit))
    counts = [len(job.groups[step.group].bolts) for step in job.steps_of(CountStep)]
    for number in (*counts, *(int(step.quantity) for step in job.steps_of(FitStep))):
        yield "waits", Fraction(any(0 < other < number for other in like(Decimal(number))))


def main() -> None:
    """Print a line for each procedure."""
    paths = [Path(name) for name in sys.argv[1:]] or sorted((ROOT / "procedures").glob("*.yaml"))
    rows = []
    for path in paths:
        found = [*places_of(read_procedure(path).usable)]
        sums = [sum((share for how, share in found if how == one), Fraction(0)) for one in ("waits", "goes on")]
        rows.append((path.stem, str(len(found)), "0", *(f"{float(one):.1f}" for one in sums)))
    print(table(("", "numbers given", "read back before", "waits for confirmed now", "said back now"), rows))


if __name__ == "__main__":
    main()
