"""What every store of the journal promises: one class of tests, run on each store."""

import pytest

from assistant.events import Record
from assistant.journal.memory import MemoryJournal
from assistant.journal.port import JobBusy, UnknownJob
from assistant.journal.sqlite import SqliteJournal
from tests.journal.conftest import GOOD, NOON


def opened(title="Practice"):
    return Record("opened", {"title": title, "procedure_id": "practice", "rehearsal": title == "Rehearsal"})


class Contract:
    """Subclasses give a ``journal`` that is empty."""

    def test_what_was_appended_comes_back_in_order_with_its_times(self, journal):
        job = journal.create([opened()], NOON)
        new = job.append(GOOD, NOON + 5)
        assert [(e.seq, e.at_ms, e.kind) for e in job.entries()] == [
            (1, NOON, "opened"),
            (2, NOON + 5, "heard"),
            (3, NOON + 5, "step_done"),
        ]
        assert job.entries()[1].data == {"text": "next"}
        assert job.entries()[1:] == new

    def test_each_entry_names_the_one_before_it(self, journal):
        job = journal.create([opened(), *GOOD], NOON)
        entries = job.entries()
        assert [e.prev for e in entries] == ["0" * 64, entries[0].hash, entries[1].hash]

    def test_the_same_records_in_two_jobs_have_different_hashes(self, journal):
        one, other = journal.create([opened()], NOON), journal.create([opened()], NOON)
        assert one.entries()[0].hash != other.entries()[0].hash

    def test_nothing_to_keep_keeps_nothing(self, journal):
        job = journal.create([opened()], NOON)
        assert job.append([], NOON) == []
        assert len(job.entries()) == 1
        with pytest.raises(ValueError, match="at least one record"):
            journal.create([], NOON)

    def test_a_job_is_held_by_one_owner_until_it_is_let_go(self, journal):
        job = journal.create([opened()], NOON)
        with pytest.raises(JobBusy, match=job.id):
            journal.open_job(job.id)
        job.close()
        again = journal.open_job(job.id)
        again.append([Record("paused")], NOON + 9)
        assert [e.kind for e in journal.entries(job.id)] == ["opened", "paused"]

    def test_letting_go_twice_is_harmless(self, journal):
        job = journal.create([opened()], NOON)
        job.close()
        again = journal.open_job(job.id)
        job.close()
        with pytest.raises(JobBusy):
            journal.open_job(again.id)

    def test_jobs_are_numbered_by_day_and_listed_newest_first(self, journal):
        day_ms = 24 * 3600 * 1000
        names = [journal.create([opened(title)], NOON + ms).id for title, ms in [("A", 0), ("B", 1), ("C", day_ms)]]
        days = [name.rpartition("-")[0] for name in names]
        assert [name.rpartition("-")[2] for name in names] == ["1", "2", "1"]
        assert days[0] == days[1] < days[2]
        assert [j.id for j in journal.jobs()] == names[::-1]
        assert [j.title for j in journal.jobs()] == ["C", "B", "A"]

    def test_the_eleventh_job_of_a_day_follows_the_tenth(self, journal):
        names = [journal.create([opened()], NOON).id for _ in range(11)]
        assert names[-1].endswith("-11")
        assert journal.resolve("last") == names[-1]
        assert journal.resolve(names[0]) == names[0]
        assert journal.resolve("1") == names[0]

    @pytest.mark.parametrize(
        ("kinds", "state"),
        [
            ([], "open"),
            (["paused"], "paused"),
            (["paused", "carried_on", "heard"], "open"),
            (["paused", "heard"], "paused"),
            (["closed"], "closed"),
        ],
    )
    def test_the_list_tells_what_there_is_to_know_about_a_job(self, journal, kinds, state):
        job = journal.create([opened("Rehearsal")], NOON)
        job.append([Record(kind) for kind in kinds], NOON + 7)
        (line,) = journal.jobs()
        assert (line.id, line.title, line.procedure_id, line.state) == (job.id, "Rehearsal", "practice", state)
        assert (line.opened_at_ms, line.last_at_ms) == (NOON, NOON + 7 if kinds else NOON)
        assert (line.entries, line.rehearsal) == (1 + len(kinds), True)

    def test_a_job_is_found_by_last_by_its_end_and_by_its_beginning(self, journal):
        job, other = journal.create([opened()], NOON), journal.create([opened()], NOON)
        assert journal.entries("last") == other.entries()
        assert journal.resolve("1") == journal.resolve("-1") == job.id
        assert journal.resolve(job.id[5:]) == job.id
        with pytest.raises(UnknownJob, match=r'"20" fits several jobs .* give the whole name'):
            journal.entries("20")
        with pytest.raises(UnknownJob, match='no job "nothing"; see the names with: assistant jobs'):
            journal.verify("nothing")

    def test_an_empty_journal_says_how_to_start(self, journal):
        assert journal.jobs() == []
        with pytest.raises(UnknownJob, match="assistant run PROCEDURE"):
            journal.open_job("last")

    def test_a_good_chain_is_called_good_with_its_end(self, journal):
        job = journal.create([opened()], NOON)
        last = job.append([Record("note", {"text": "Ölwanne, 3 µm – fine"})], NOON)[-1]
        verdict = journal.verify(job.id)
        assert (verdict.good, verdict.entries, verdict.head) == (True, 2, last.hash)
        assert verdict.sentence == f"All 2 entries of job {job.id} fit the chain."

    @pytest.mark.parametrize(
        "bad", [Record("reading", {"value": 1.5}), Record("heard", {"words": [{"c": 0.9}]}), Record(""), Record('a"b')]
    )
    def test_what_cannot_be_kept_exactly_is_refused_and_nothing_is_kept(self, journal, bad):
        job = journal.create([opened()], NOON)
        with pytest.raises(TypeError):
            job.append([Record("step_done"), bad], NOON)
        with pytest.raises(TypeError):
            journal.create([opened(), bad], NOON)
        assert [e.kind for e in job.entries()] == ["opened"]
        assert [line.id for line in journal.jobs()] == [job.id]
        assert job.append(GOOD, NOON)[-1].seq == 3


class TestMemory(Contract):
    @pytest.fixture
    def journal(self):
        return MemoryJournal()


class TestSqlite(Contract):
    @pytest.fixture
    def journal(self, tmp_path):
        journal = SqliteJournal(tmp_path / "journal.sqlite")
        yield journal
        journal.close()
