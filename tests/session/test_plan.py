"""The plan all the way through whole jobs: it sends nobody to a step that something is in the way of."""

from __future__ import annotations

import subprocess
import sys

import pytest

from assistant.procedure.format.reader import read_procedure
from assistant.session.obstacles import in_the_way
from assistant.session.planning import planned, stretches
from tests.session.bench import Bench
from tests.typed.play import ROOT

JOBS = [
    ROOT / "procedures/valve-clearances.yaml",
    ROOT / "procedures/hub-drive-reseal.yaml",
    ROOT / "tests/typed/procedures/waiting-lid.yaml",
    ROOT / "tests/typed/procedures/locked-hub.yaml",
    ROOT / "tests/typed/procedures/gated-tank.yaml",
]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_what_comes_first_in_the_plan_can_be_done_at_every_step_of_a_job(path):
    bench = Bench(read_procedure(path).usable)
    looked, before = 0, ""
    for _ in range(4000):
        if bench.session.closed:
            break
        here = bench.session.standing(bench.now)
        new, before = here.place.key != before, here.place.key
        if new and here.step is not None and here.unread is None:
            found = planned(here)
            assert found.fault is None, found.fault
            first = next((row for row in stretches(here, found) if not row.waits and row.start == 0), None)
            if first is None:
                continue
            if first.place.key != here.place.key:
                assert in_the_way(here, first.place) is None, first.place.key
            looked += 1
        bench.lead_on()
    assert bench.session.closed
    assert looked > 3


def test_a_job_that_waits_for_nothing_loads_no_graph_and_no_solver():
    code = f"""
import sys
from assistant.procedure.format.reader import read_procedure
from pathlib import Path
from tests.session.bench import Bench
bench = Bench(read_procedure(Path({str(JOBS[2])!r})).usable)
for _ in range(3):
    bench.hear("next")
    bench.session.view(bench.now)
print([name for name in ("networkx", "ortools") if name in sys.modules])
"""
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert ran.stdout.strip() == "[]", ran.stderr
