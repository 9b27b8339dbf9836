"""Every procedure that comes with the project can be played to its end, and its entries alone give the job again."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.facts import dump
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.evolving.table import fold
from tests.session.bench import Bench
from tests.session.ear import unfit_for_the_ear
from tests.session.ledger import Ledger, passes

ROOT = Path(__file__).parents[2]
FILES = sorted([*ROOT.glob("procedures/*.yaml"), *ROOT.glob("tests/procedure/good/*.yaml")])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_careful_mechanic_comes_to_the_end(path: Path) -> None:
    procedure = read_procedure(path).procedure
    assert procedure is not None
    bench = Bench(procedure)
    bench.lead_to_end()
    ledger = Ledger(procedure)
    for fact, now in bench.entries:
        kind, _, data = dump(fact)
        ledger.take(kind, data, now)
    assert ledger.closed
    assert not any(bench.facts("closed")[0].values())
    assert [unfit for text in bench.spoken if (unfit := unfit_for_the_ear(text))] == []
    stages = [(step.id, n) for step in procedure.steps if isinstance(step, TightenStep) for n in _numbers(step)]
    assert [(fact["step"], fact["stage"]) for fact in bench.facts("stage_done")] == stages
    assert fold(fact for fact, _ in bench.entries) == bench.session.state


def _numbers(step: TightenStep) -> list[int]:
    """Return the stages by their numbers, one for each pass as they are done."""
    return [number for number, _ in passes(step)]
