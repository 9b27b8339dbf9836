"""What every store of the journal promises to who reads without holding: find, scan, follow, and what damage tells."""

import pytest

from assistant.facts.going import Paused
from assistant.facts.people import Noted
from assistant.facts.steps import StepDone
from assistant.journal.names import BAY
from assistant.journal.port import Damaged, UnknownJob
from tests.jobs import bare, heard, note
from tests.journal.conftest import GOOD, NOON
from tests.journal.stores import Memory, Postgres, Sqlite, opened


class Reading:
    """Subclasses give a ``journal`` that is empty."""

    def test_entries_of_asked_kinds_are_found_over_all_jobs_in_order(self, journal):
        jobs = [journal.create([opened()], NOON + number) for number in range(3)]
        for job in reversed(jobs):
            job.append([note(f"of {job.id}"), *GOOD], NOON + 9)
        found = list(journal.find((Noted, StepDone)))
        assert [(name, entry.seq, entry.kind) for name, entry in found] == [
            (job.id, seq, kind) for job in jobs for seq, kind in ((2, "note"), (4, "step_done"))
        ]
        assert [entry.data["text"] for _, entry in found[::2]] == [f"of {job.id}" for job in jobs]
        assert list(journal.find(())) == list(journal.find((Paused,))) == []

    def test_the_first_entry_is_read_alone(self, journal):
        job = journal.create([bare("t", operator="Kim"), *GOOD], NOON)
        assert journal.first("last") == job.entries()[0]
        assert journal.first("last").data["operator"] == "Kim"

    def test_the_scan_goes_on_as_far_as_it_is_asked(self, journal):
        names = [journal.create([opened()], NOON).id for _ in range(3)]
        lines = journal.scan()
        assert next(lines).id == names[2]
        assert next(lines).bay == BAY
        assert names[0].startswith(f"{BAY}-")

    def test_who_follows_gets_what_came_since_then_and_no_more(self, journal, elsewhere):
        job = journal.create([opened()], NOON)
        watcher = elsewhere("page")
        assert watcher.follow(job.id, 0) == job.entries()
        assert watcher.follow(job.id, 1) == []
        new = job.append([heard(), note("what was said")], NOON + 1)
        assert watcher.follow("last", 1) == new
        assert watcher.follow("last", 2) == new[1:]
        assert watcher.follow("last", 3) == []
        with pytest.raises(UnknownJob):
            watcher.follow("nothing", 0)

    def test_who_followed_entries_that_are_no_more_is_told(self, journal):
        job = journal.create([opened()], NOON)
        with pytest.raises(Damaged, match=r"has no entry 2 to go on from.* assistant verify"):
            journal.follow(job.id, 2)

    def test_damage_is_named_what_is_before_it_stays_readable_and_nothing_is_written(self, journal, spoil):
        job = journal.create([opened(), *GOOD], NOON)
        before = job.entries()
        job.close()
        other = journal.create([opened("Another")], NOON)
        spoil(job.id, 2)
        entries, verdict = journal.read(job.id)
        assert (entries, verdict.good, verdict.entries, verdict.head) == (before[:1], False, 1, before[0].hash)
        assert verdict.sentence.startswith(
            f"Entry 2 of job {job.id} does not fit the chain; the entry before it is good"
        )
        assert journal.verify(job.id) == verdict
        assert journal.first(job.id) == before[0]
        with pytest.raises(Damaged, match=f"Entry 2 of job {job.id}"):
            journal.hold(job.id, NOON + 1)
        assert journal.lease(job.id) is None
        with pytest.raises(Damaged, match=f"Entry 2 of job {job.id} does not fit the chain"):
            journal.follow(job.id, 1)
        assert journal.verify(other.id).good


class TestMemory(Reading, Memory):
    pass


class TestPostgres(Reading, Postgres):
    """In the central store."""


class TestSqlite(Reading, Sqlite):
    pass
