"""What was taken back in a job counts no more in its record, and both stand there: read from stored jobs."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.report.history import history_of
from assistant.report.record.build import build_record
from assistant.report.record.model import JobRecord, StepStatus
from tests.journal.golden import load


def entries_of(name: str, folder: Path) -> list[Entry]:
    with open_journal(load(name, folder), read_only=True) as journal:
        return journal.read("last").entries


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> list[Entry]:
    return entries_of("taken-back", tmp_path_factory.mktemp("taken-back"))


@pytest.fixture(scope="module")
def record(entries: list[Entry]) -> JobRecord:
    return build_record("job", entries)


def up_to(entries: list[Entry], kind: str, number: int = 1) -> list[Entry]:
    """The entries up to the end of the answer in which the entry ``number`` of a kind stands."""
    seq = [entry.seq for entry in entries if entry.kind == kind][number - 1]
    cause = entries[seq - 1].cause
    return [entry for entry in entries if entry.seq <= seq or entry.cause == cause]


def test_what_was_done_again_is_done_once_and_without_the_deviation(record: JobRecord) -> None:
    """Eleven bolts were accepted for a reason, that was taken back, and then there were twelve."""
    step = next(step for step in record.steps if step.id == "cover-out")
    assert (step.status, step.times_done) == (StepStatus.DONE, 1)
    assert step.results == ("cover counted out: 12 of 12",)
    assert record.deviations == ()
    assert record.open == ()


def test_both_stand_in_the_order_of_the_work_with_who(record: JobRecord) -> None:
    lines = [line.what for line in record.course if line.what.startswith("TAKEN BACK")]
    assert any("cover counted out: 11 of 12" in line and "confirmed in entry 57 by A. Reed" in line for line in lines)
    assert any(line.startswith("TAKEN BACK by B. Stone: answered yes; done") for line in lines)


def test_a_step_that_is_open_again_is_not_done(entries: list[Entry]) -> None:
    """The record of the job as it stood right behind the retraction."""
    record = build_record("job", up_to(entries, "reopened", 2))
    step = next(step for step in record.steps if step.id == "cover-out")
    assert (step.status, step.times_done, step.results) == (StepStatus.NOT_DONE, 0, ())
    assert any("cover bolts" in one.what for one in record.open), "its count is missing"


def test_a_further_angle_that_was_taken_back_is_turned_still_and_not_done(
    entries: list[Entry],
) -> None:
    number = next(
        at for at, entry in enumerate((one for one in entries if one.kind == "bolts_taken_back"), 1)
        if entry.data["must_loosen"]
    )  # fmt: skip
    rows = build_record("job", up_to(entries, "bolts_taken_back", number)).tightenings
    angle = [row.result for row in rows if row.bolts == (13, 14) and row.stage == 2]
    assert angle == ["TAKEN BACK, STILL TURNED (was: confirmed)", "NOT DONE"]


def test_clicks_stay_counted_and_new_bolts_count_once(record: JobRecord) -> None:
    """The wrench clicked for four bolts whose confirmation was taken back, as for the others."""
    (wrench,) = [tool for tool in record.tools if tool.id == "small-wrench"]
    tightened = [row for row in record.tightenings if row.tool.startswith("small-wrench")]
    assert wrench.clicks == sum(len(row.bolts) for row in tightened)
    (end,) = [group for group in record.fasteners if group.group == "end bolts"]
    assert (end.new, end.result) == (2, "agrees")


def test_a_timer_that_was_taken_back_is_told_so_and_what_was_stopped_went_on(tmp_path: Path) -> None:
    record = build_record("job", entries_of("taken-back-timers", tmp_path))
    told = [(row.id, row.result) for row in record.timers]
    assert told == [("open", "stopped in time"), ("cure", "taken back"), ("cure", "ran to its end")]


def test_the_history_counts_no_deviation_that_was_taken_back(entries: list[Entry]) -> None:
    history = history_of([entries])
    assert not [key for key in history.trouble if "deviation" in key[1]]
