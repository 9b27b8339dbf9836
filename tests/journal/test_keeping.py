"""What every store of the journal promises about what it keeps: order, chain, names, causes, and nothing by halves."""

import pytest

from assistant.events import End, Then
from assistant.facts import Fact
from assistant.facts.bay import DeviceBack, DeviceLost, PartFailed
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.inputs import Opened, Understood
from assistant.facts.people import Noted
from assistant.facts.steps import StepDone
from assistant.journal.port import JobBusy, UnknownJob
from tests.jobs import heard, note
from tests.journal.conftest import GOOD, NOON
from tests.journal.stores import Memory, Postgres, Sqlite, opened

CLASSES = (Opened, Paused, Understood, DeviceLost, StepDone, Noted, PartFailed, DeviceBack)


class _Nameless(Fact, frozen=True):
    """A fact of no kind."""


class _Quoted(Fact, frozen=True):
    """A fact of a kind that is no plain word."""

    KIND = 'a"b'


class Keeping:
    """Subclasses give a ``journal`` that is empty."""

    def test_what_was_appended_comes_back_in_order_with_its_times(self, journal):
        job = journal.create([opened()], NOON)
        new = job.append(GOOD, NOON + 5)
        assert [(e.seq, e.at_ms, e.kind) for e in job.entries()] == [
            (1, NOON, "opened"),
            (2, NOON + 5, "heard"),
            (3, NOON + 5, "step_done"),
        ]
        assert [entry.fact for entry in job.entries()[1:]] == GOOD
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
        with pytest.raises(ValueError, match="at least one fact"):
            journal.create([], NOON)

    def test_a_job_is_held_by_one_owner_until_it_is_let_go(self, journal):
        job = journal.create([opened()], NOON)
        with pytest.raises(JobBusy, match=job.id):
            journal.hold(job.id, NOON)
        job.close()
        again = journal.hold(job.id, NOON)
        again.append([Paused()], NOON + 9)
        assert [e.kind for e in journal.read(job.id).entries] == ["opened", "paused"]

    def test_letting_go_twice_is_harmless(self, journal):
        job = journal.create([opened()], NOON)
        job.close()
        again = journal.hold(job.id, NOON)
        job.close()
        with pytest.raises(JobBusy):
            journal.hold(again.id, NOON)

    def test_jobs_are_numbered_by_day_and_listed_newest_first(self, journal):
        day_ms = 24 * 3600 * 1000
        names = [journal.create([opened(title)], NOON + ms).id for title, ms in [("A", 0), ("B", 1), ("C", day_ms)]]
        days = [name.rpartition("-")[0] for name in names]
        assert [name.rpartition("-")[2] for name in names] == ["1", "2", "1"]
        assert days[0] == days[1] < days[2]
        assert [j.id for j in list(journal.scan())] == names[::-1]
        assert [j.title for j in list(journal.scan())] == ["C", "B", "A"]

    def test_the_eleventh_job_of_a_day_follows_the_tenth(self, journal):
        names = [journal.create([opened()], NOON).id for _ in range(11)]
        assert names[-1].endswith("-11")
        assert journal.resolve("last") == names[-1]
        assert journal.resolve(names[0]) == names[0]
        assert journal.resolve("1") == names[0]

    @pytest.mark.parametrize(
        ("facts", "state"),
        [
            ([], "open"),
            ([Paused()], "paused"),
            ([Paused(), CarriedOn(), heard()], "open"),
            ([Paused(), heard()], "paused"),
            ([Closed()], "closed"),
        ],
    )
    def test_the_list_tells_what_there_is_to_know_about_a_job(self, journal, facts, state):
        job = journal.create([opened("Rehearsal")], NOON)
        job.append(facts, NOON + 7)
        (line,) = list(journal.scan())
        assert (line.id, line.title, line.procedure_id, line.state) == (job.id, "Rehearsal", "practice", state)
        assert (line.opened_at_ms, line.last_at_ms) == (NOON, NOON + 7 if facts else NOON)
        assert (line.entries, line.rehearsal) == (1 + len(facts), True)

    def test_a_job_is_found_by_last_by_its_end_and_by_its_beginning(self, journal):
        job, other = journal.create([opened()], NOON), journal.create([opened()], NOON)
        assert journal.read("last").entries == other.entries()
        assert journal.resolve("1") == journal.resolve("-1") == job.id
        assert journal.resolve(job.id[5:]) == job.id
        with pytest.raises(UnknownJob, match=r'"20" fits several jobs .* give the whole name'):
            journal.read("20")
        with pytest.raises(UnknownJob, match='no job "nothing"; see the names with: assistant jobs'):
            journal.verify("nothing")

    def test_an_empty_journal_says_how_to_start(self, journal):
        assert list(journal.scan()) == []
        with pytest.raises(UnknownJob, match="assistant run PROCEDURE"):
            journal.hold("last", NOON)

    def test_a_good_chain_is_called_good_with_its_end(self, journal):
        job = journal.create([opened()], NOON)
        last = job.append([note("Ölwanne, 3 µm – fine")], NOON)[-1]
        verdict = journal.verify(job.id)
        assert (verdict.good, verdict.entries, verdict.head) == (True, 2, last.hash)
        assert verdict.sentence == f"All 2 entries of job {job.id} fit the chain."

    @pytest.mark.parametrize("bad", [StepDone(step=1.5), _Nameless(), _Quoted()])
    def test_what_cannot_be_kept_exactly_is_refused_and_nothing_is_kept(self, journal, bad):
        job = journal.create([opened()], NOON)
        with pytest.raises(TypeError):
            job.append([StepDone(step="s1"), bad], NOON)
        with pytest.raises(TypeError):
            journal.create([opened(), bad], NOON)
        assert [e.kind for e in job.entries()] == ["opened"]
        assert [line.id for line in list(journal.scan())] == [job.id]
        assert job.append(GOOD, NOON)[-1].seq == 3

    def test_what_follows_from_an_input_names_it_and_what_stands_for_itself_names_nothing(self, journal):
        job = journal.create([opened(), Paused()], NOON)
        job.append([heard(), DeviceLost(device=End.MICROPHONE), StepDone(step="s1"), note("so")], NOON)
        job.append(
            [PartFailed(part="ear", error="E", at="a:1", then=Then.ENDED), DeviceBack(device=End.MICROPHONE)], NOON
        )
        job.append([DeviceLost(device=End.MICROPHONE), heard(), Paused()], NOON)
        causes = [(entry.kind, entry.cause) for entry in job.entries()]
        assert causes == [
            ("opened", 0), ("paused", 1),
            ("heard", 0), ("device_lost", 0), ("step_done", 3), ("note", 3),
            ("part_failed", 0), ("device_back", 0),
            ("device_lost", 0), ("heard", 0), ("paused", 10),
        ]  # fmt: skip
        assert {entry.version for entry in job.entries()} == {1}
        assert journal.follow(job.id, 0) == [entry for _, entry in journal.find(CLASSES)] == job.entries()

    def test_two_inputs_that_are_kept_in_one_each_cause_what_is_behind_them(self, journal):
        job = journal.create([opened(), Paused(), heard(), CarriedOn(), note("so")], NOON)
        assert [entry.cause for entry in job.entries()] == [0, 1, 0, 3, 3]


class TestMemory(Keeping, Memory):
    pass


class TestPostgres(Keeping, Postgres):
    """In the central store."""


class TestSqlite(Keeping, Sqlite):
    pass
