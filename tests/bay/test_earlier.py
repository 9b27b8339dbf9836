"""How long steps took before in this bay comes into a job as a fact, and "when are we done" goes by it."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.facts.reminders import TimesKnown
from assistant.journal.opening import open_journal
from assistant.kept.earlier import times_before
from tests.jobs import ROOT, START_S, work
from tests.typed.play import Played, play

PUMP = ROOT / "tests/typed/procedures/asking.yaml"
DAY_S = 86_400.0


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A bay in which three jobs were done with the procedure, two of them by one mechanic, and one with another."""
    with open_journal(tmp_path) as journal:
        for day, operator in enumerate(("A. Reed", "B. Stone", "A. Reed")):
            work(journal, PUMP, start_s=START_S + day * DAY_S, operator=operator)
        work(journal, ROOT / "procedures/coolant-pump-cover.yaml", start_s=START_S + 3 * DAY_S, operator="A. Reed")
    return tmp_path


def known(home: Path, operator: str, procedure: str = "asking") -> TimesKnown | None:
    with open_journal(home) as journal:
        return times_before(journal, procedure, operator)


def test_the_own_jobs_are_told_from_those_of_the_bay(home: Path) -> None:
    times = known(home, "a. reed, C. Hall")
    assert times is not None
    assert (times.own_jobs, times.bay_jobs) == (2, 3)
    assert set(times.own) == set(times.bay) >= {"open", "gap", "heat", "cool", "seat", "lid-tight", "tools-back"}


def test_somebody_new_has_none_of_his_own_and_another_procedure_none_at_all(home: Path) -> None:
    times = known(home, "D. Moss")
    assert times is not None
    assert (times.own, times.own_jobs, times.bay_jobs) == ({}, 0, 3)
    nobody = known(home, "")
    assert nobody is not None
    assert nobody.own_jobs == 0
    assert known(home, "A. Reed", "hub-drive-reseal") is None


def asked(home: Path, *options: str) -> Played:
    return play(PUMP, ["next", "next", "next", "when are we done"], *options, home=home)


def test_when_are_we_done_goes_by_them_and_rehearsals_add_nothing(home: Path) -> None:
    said = asked(home, "--operator", "A. Reed").last.said
    assert "From two jobs of yours, from the minutes of the procedure, with the waits." in said
    assert "no time" not in said  # the step without minutes was done before
    again = asked(home, "--operator", "D. Moss")
    assert "From three jobs in this bay, from the minutes of the procedure, with the waits." in again.last.said
    assert again.facts("times_known")[0]["bay_jobs"] == 3


def test_without_earlier_jobs_it_goes_by_the_minutes(tmp_path: Path) -> None:
    played = asked(tmp_path, "--operator", "A. Reed")
    assert "From the minutes of the procedure, with the waits. Two steps have no time." in played.last.said
    assert played.facts("times_known") == []


def test_a_job_that_somebody_took_over_is_nobodys_own(home: Path) -> None:
    options = ("--operator", "A. Reed, B. Stone")
    said = ["next", "next", "next", "hand over", "confirmed", "take over", "when are we done"]
    played = play(PUMP, said, *options, home=home)
    # Who takes over is somebody else: the times of the one who left are not his.
    assert "From three jobs in this bay" in played.last.said
