"""A clearance job on recorded speech: measured, killed between measuring and fitting, gone on with, measured again.

The shims that must come out are worked out here from what is said in the recordings alone: new = fitted + found -
wanted, in hundredths of a millimetre.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from typing import Any

import pytest
import yaml

from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from tests.journal import independent
from tests.whole_jobs.talks import ROOT, Rehearsed, heard_in, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

NAME = "shim-head"
FIRST, SECOND = (
    yaml.safe_load((ROOT / f"audio_fixtures/{name}.talk.yaml").read_text("utf-8"))["lines"]
    for name in (NAME, f"{NAME}-resumed")
)
BANDS = {"inlet": (18, 24), "exhaust": (28, 34)}
OUT = {("1", "inlet"): (30, 250), ("1", "exhaust"): (40, 255), ("2", "exhaust"): (40, 260)}
"""Found and fitted, in hundredths, of the valves out of their band; two inlet was read as 0.21 mm and stays."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, list, Rehearsed, dict]:
    """Kill the first process when the first proposal is told, go on with the second recording; and the record."""
    home = tmp_path_factory.mktemp("shims")
    first = subprocess.Popen(
        [sys.executable, "-m", "assistant", "rehearse", f"tests/typed/procedures/{NAME}.yaml", "--audio-in",
         f"audio_fixtures/{NAME}.flac"],
        cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)}, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    before = ""
    for line in first.stdout or ():
        before += line
        if "takes the shim from" in line:
            first.send_signal(signal.SIGKILL)
    assert first.wait() == -signal.SIGKILL, before
    with open_journal(home, read_only=True) as journal:
        name = journal.resolve("last")
    left = independent.check(home, name)
    after = rehearse(f"../tests/typed/procedures/{NAME}", f"{NAME}-resumed", home, "--job", name)
    with open_journal(home, read_only=True) as journal:
        record = json.loads(make(name, journal.read(name).entries, paper="a4", clock=0).form("json"))
    return before, left, after, record


def shims(entries: list) -> list[dict[str, Any]]:
    return [data for _, kind, data in entries if kind == "shims_worked_out"][-1]["proposals"]


def hundredths(quantity: dict[str, str]) -> int:
    return round(float(quantity["value"]) * 100)


def test_every_word_of_both_talks_was_heard(job: tuple) -> None:
    before, _, after, _ = job
    assert heard_in(before) == FIRST
    assert after.heard == SECOND
    assert after.code == 0


def test_each_new_shim_brings_its_valve_into_its_band_and_the_one_that_fits_is_swapped(job: tuple) -> None:
    found = {(one["at"]["row"], one["at"]["column"].removesuffix("-found")): one for one in shims(job[2].entries)}
    assert set(found) == set(OUT)
    for (row, valve), (clearance, fitted) in OUT.items():
        low, high = BANDS[valve]
        new = hundredths(found[row, valve]["shim"])
        assert low <= clearance + fitted - new <= high
        assert hundredths(found[row, valve]["expected"]) == clearance + fitted - new
        assert new % 5 == 0, "the sizes go by 0.05 mm"
    assert found["1", "inlet"]["source"] == {"row": "2", "column": "exhaust-found"}
    assert hundredths(found["1", "inlet"]["shim"]) == OUT["2", "exhaust"][1]
    assert [one["way"] for one in found.values()].count("buy") == 2


def test_a_shim_that_does_not_exist_was_read_back_and_never_counted(job: tuple) -> None:
    read = [data for _, kind, data in job[2].entries if kind == "cell_read" and data["step"] == "shims"]
    assert [hundredths(one["reading"]) for one in read] == [250, 255, 260]
    assert "There is no such shim." in job[0]


def test_the_killed_job_goes_on_with_the_next_proposal(job: tuple) -> None:
    _, left, after, _ = job
    assert after.entries[: len(left)] == left
    assert "One exhaust, a new one. Buy two point six five." in after.dialogue
    assert [kind for kind, _ in after.facts].count("shims_worked_out") == 1


def test_the_record_shows_what_was_proposed_and_how_it_was_left(job: tuple) -> None:
    readings = {(one["step"], one["row"], one["column"]): one for one in job[3]["readings"]}
    assert readings["shims", "1", "inlet shim"]["proposed"] == "2.6 mm from 2 exhaust-found, then 0.2 mm"
    assert readings["shims", "2", "exhaust shim"]["proposed"] == "2.7 mm to buy, then 0.3 mm"
    assert readings["shims", "2", "inlet shim"]["result"] == "stays"
    left = [one["result"] for (step, _, _), one in readings.items() if step == "left"]
    assert left == ["within"] * 4
