"""What every store of the journal promises about a lease: one holder, who is told when another one took the job."""

import os
import platform

import pytest

from assistant.facts.going import Paused
from assistant.journal.leasing import LEASE_MS
from assistant.journal.names import BAY
from assistant.journal.port import JobBusy
from tests.journal.conftest import GOOD, NOON
from tests.journal.stores import Memory, Postgres, Sqlite, opened


class Holding:
    """Subclasses give a ``journal`` that is empty."""

    def test_a_lease_says_who_holds_a_job_and_until_when(self, journal, elsewhere):
        job = journal.create([opened()], NOON)
        there = elsewhere("page").lease(job.id)
        assert (there.bay, there.host, there.pid) == (BAY, platform.node(), os.getpid())
        assert there.until_ms == NOON + LEASE_MS
        job.close()
        assert journal.lease(job.id) is None
        again = journal.hold(job.id, NOON + 5)
        assert journal.lease(job.id).until_ms == NOON + 5 + LEASE_MS
        assert journal.lease(job.id).token != there.token
        again.close()

    def test_a_lease_is_renewed_by_what_is_kept_and_through_a_silence(self, journal):
        job = journal.create([opened()], NOON)
        job.renew(NOON + LEASE_MS // 2)
        assert journal.lease(job.id).until_ms == NOON + LEASE_MS, "half of it is not over yet"
        job.renew(NOON + LEASE_MS // 2 + 1)
        assert journal.lease(job.id).until_ms == NOON + LEASE_MS // 2 + 1 + LEASE_MS
        job.append(GOOD, NOON + 3 * LEASE_MS)
        assert journal.lease(job.id).until_ms == NOON + 4 * LEASE_MS
        job.append(GOOD, NOON)  # a clock that went back takes nothing away
        assert journal.lease(job.id).until_ms == NOON + 4 * LEASE_MS

    def test_on_one_machine_a_living_holder_keeps_a_job_however_long_he_is_silent(self, journal, elsewhere):
        job = journal.create([opened()], NOON)
        with pytest.raises(JobBusy, match="is being worked on by another process of the assistant on this machine"):
            elsewhere(platform.node()).hold(job.id, NOON + 100 * LEASE_MS)
        job.append(GOOD, NOON + 100 * LEASE_MS)

    def test_another_machine_waits_until_the_lease_is_over_and_the_first_is_told(self, journal, elsewhere):
        job = journal.create([opened()], NOON)
        other = elsewhere("north")
        with pytest.raises(JobBusy, match=rf"{job.id} is .* in the bay {BAY}, by process \d+ on the machine .* until"):
            other.hold(job.id, NOON + LEASE_MS - 1)
        taken = other.hold(job.id, NOON + LEASE_MS)
        with pytest.raises(JobBusy, match="on the machine north"):
            job.append(GOOD, NOON + LEASE_MS + 1)
        with pytest.raises(JobBusy, match="on the machine north"):
            job.renew(NOON + LEASE_MS + 1)
        taken.append([Paused()], NOON + LEASE_MS + 2)
        assert [entry.kind for entry in journal.read(job.id).entries] == ["opened", "paused"]
        job.close()
        assert journal.lease(job.id).host == "north", "who lets go lets nothing go of another"

    def test_who_comes_back_after_another_reads_first(self, journal, elsewhere):
        job = journal.create([opened()], NOON)
        taken = elsewhere("north").hold(job.id, NOON + LEASE_MS)
        taken.append([Paused()], NOON + LEASE_MS)
        taken.close()
        with pytest.raises(JobBusy, match="wrote into job .* so the last thing was not kept"):
            job.append(GOOD, NOON + LEASE_MS + 1)
        assert [entry.kind for entry in job.entries()] == ["opened", "paused"]
        job.append(GOOD, NOON + LEASE_MS + 2)
        assert [entry.kind for entry in job.entries()] == ["opened", "paused", "heard", "step_done"]

    def test_a_lease_that_ran_out_and_that_nobody_took_is_still_ours(self, journal):
        job = journal.create([opened()], NOON)
        assert job.append(GOOD, NOON + 50 * LEASE_MS)[-1].seq == 3

    def test_a_job_that_was_let_go_takes_nothing_more(self, journal):
        job = journal.create([opened()], NOON)
        job.close()
        with pytest.raises(ValueError, match="was let go; hold it again"):
            job.append(GOOD, NOON)
        with pytest.raises(ValueError, match="was let go; hold it again"):
            job.renew(NOON + LEASE_MS)
        assert len(journal.read(job.id).entries) == 1

    def test_a_journal_that_is_closed_lets_every_job_go(self, journal, elsewhere):
        other = elsewhere(platform.node())
        names = [other.create([opened()], NOON).id for _ in range(2)]
        other.close()
        for name in names:
            journal.hold(name, NOON).append(GOOD, NOON)


class TestMemory(Holding, Memory):
    pass


class TestPostgres(Holding, Postgres):
    """In the central store."""


class TestSqlite(Holding, Sqlite):
    pass
