"""The job's time never steps, whatever the computer's clock does, and goes on where it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant import facts
from assistant.bay.job_opening import resume_job
from assistant.clock import SteadyClock, this_start
from assistant.events import Thresholds
from assistant.facts.inputs import ClockSet, Resumed, SetWhen
from assistant.facts.steps import StepDone
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.kept.job_clock import resuming, started
from tests.jobs import SHORTEST, bare, opening

NOON = 1_790_000_000.0


class Machine:
    """A computer whose clock a test sets; ``uptime`` is what nobody can set."""

    def __init__(self, wall: float = NOON, uptime: float = 5_000.0) -> None:
        self.wall, self.uptime = wall, uptime

    def clock(self) -> SteadyClock:
        return SteadyClock(lambda: self.wall, lambda: self.uptime)

    def passes(self, seconds: float) -> None:
        self.wall += seconds
        self.uptime += seconds


def entry(seq: int, fact: facts.Fact, at: float) -> Entry:
    kind, version, data = facts.dump(fact)
    return Entry(seq, round(at * 1000), kind, data, "", "", version)


@pytest.mark.parametrize("by", [-120.0, -3600.0, +3600.0, -NOON])
def test_a_step_moves_nothing_and_is_told_once(by: float) -> None:
    machine = Machine()
    clock = machine.clock()
    machine.passes(10)
    assert clock.step() == 0.0
    machine.wall += by
    machine.passes(1)
    assert clock.now() == NOON + 11
    assert clock.step() == pytest.approx(by)
    machine.passes(1)
    assert clock.step() == 0.0
    assert clock.now() == NOON + 12


def test_a_clock_that_is_slewed_never_adds_up_to_a_step() -> None:
    # 500 parts in a million is the most that a time service slews (NTP, RFC 5905 section 11.3: "500 PPM", from memory).
    machine = Machine()
    clock = machine.clock()
    for _ in range(20_000):
        machine.passes(1)
        machine.wall += 0.0005
        assert clock.step() == 0.0


def test_the_kernel_s_name_of_this_start_is_stable_and_is_not_kept_as_it_is() -> None:
    assert this_start() == this_start()
    assert this_start() not in Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii")


def journal(machine: Machine) -> list[Entry]:
    """Return a job that was opened a minute ago and whose program then ended."""
    first = entry(1, bare(start=started(machine.clock(), "one")), machine.wall)
    machine.passes(60)
    return [first, entry(2, StepDone(step="s1"), machine.wall)]


def test_without_a_step_a_job_goes_on_at_the_time_of_day() -> None:
    machine = Machine()
    entries = journal(machine)
    machine.passes(600)
    clock = machine.clock()
    when = resuming(entries, clock, "one")
    assert (when.now, when.by_s) == (NOON + 660, 0.0)
    assert clock.now() == NOON + 660


@pytest.mark.parametrize("by", [-3600.0, +3600.0])
def test_a_step_between_two_programs_is_found_and_does_not_move_the_job_s_time(by: float) -> None:
    machine = Machine()
    entries = journal(machine)
    machine.passes(600)
    machine.wall += by
    clock = machine.clock()
    when = resuming(entries, clock, "one")
    assert when.now == NOON + 660, "a cure of half an hour is not over at once"
    assert when.by_s == pytest.approx(by)
    told = ClockSet(by_ms=round(by * 1000), when=SetWhen.BETWEEN)
    again = [*entries, entry(3, Resumed(start=when.start), when.now), entry(4, told, when.now)]
    machine.passes(60)
    later = resuming(again, machine.clock(), "one")
    assert (later.now, later.by_s) == (NOON + 720, 0.0), "it is told once"


def test_a_step_that_was_told_while_the_program_ran_is_not_told_again() -> None:
    machine = Machine()
    entries = journal(machine)
    machine.wall -= 120
    entries.append(entry(3, ClockSet(by_ms=-120_000, when=SetWhen.RUNNING), NOON + 60))
    machine.passes(30)
    when = resuming(entries, machine.clock(), "one")
    assert (when.now, when.by_s) == (NOON + 90, 0.0)


def test_a_machine_that_wakes_up_in_1970_goes_on_after_the_last_entry_and_says_so() -> None:
    machine = Machine()
    entries = journal(machine)
    fresh = Machine(wall=0.0, uptime=3.0)
    clock = fresh.clock()
    when = resuming(entries, clock, "two")
    assert when.now == entries[-1].at_ms / 1000
    assert when.by_s == pytest.approx(-NOON - 60)
    fresh.passes(5)
    assert clock.now() == when.now + 5


def test_after_a_new_start_the_time_of_day_is_all_there_is() -> None:
    machine = Machine()
    entries = journal(machine)
    fresh = Machine(wall=machine.wall + 7200, uptime=3.0)
    assert resuming(entries, fresh.clock(), "two").now == NOON + 60 + 7200


def test_an_old_job_that_kept_no_clocks_goes_on_never_before_its_last_entry() -> None:
    machine = Machine(wall=NOON - 50)
    when = resuming([entry(1, bare(), NOON)], machine.clock(), "one")
    assert (when.now, when.by_s) == (NOON, -50.0)


def test_that_the_clock_was_set_is_kept_in_one_with_taking_the_job_up() -> None:
    """Broken off between the two, a job would not know that its timers are doubtful, and nobody would be asked."""
    machine = Machine()
    session, first = opening(SHORTEST, start=started(machine.clock()))
    with open_journal(None) as journal:
        job = journal.create(session.open(first, NOON).facts, round(NOON * 1000))
        job.close()
        machine.passes(60)
        machine.wall -= 3600
        taken = resume_job(journal, job.id, Thresholds(), machine.clock())
        new = [(entry.kind, entry.cause) for entry in taken.job.entries()[-len(taken.begun) :]]
    assert new[0] == ("resumed", 0)
    assert ("clock_stepped", 0) in new


def test_behind_a_job_with_a_time_of_its_own_the_wall_counts_again() -> None:
    machine = Machine()
    clock = machine.clock()
    clock.begin_at(NOON + 3600)  # the clock was ahead when that job was worked on
    assert clock.now() == NOON + 3600
    machine.passes(10)
    clock.begin_by_the_wall()
    assert clock.now() == NOON + 10
    assert clock.step() == 0.0
