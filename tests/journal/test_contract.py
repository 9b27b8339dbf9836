"""What every store of the journal promises: one class of tests, run on each store."""

import contextlib
import os
import platform
from dataclasses import replace

import pytest

from assistant.events import End, Then
from assistant.facts import Fact
from assistant.facts.bay import DeviceBack, DeviceLost, PartFailed
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.steps import StepDone
from assistant.journal.leasing import LEASE_MS
from assistant.journal.memory import MemoryJournal
from assistant.journal.names import BAY
from assistant.journal.personal import GONE
from assistant.journal.port import Damaged, JobBusy, JournalFault, UnknownJob
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, heard, note
from tests.journal.conftest import GOOD, NOON
from tests.journal.disk import tamper

KINDS = ("opened", "paused", "heard", "device_lost", "step_done", "note", "part_failed", "device_back")


class _Nameless(Fact, frozen=True):
    """A fact of no kind."""


class _Quoted(Fact, frozen=True):
    """A fact of a kind that is no plain word."""

    KIND = 'a"b'


def opened(title="Practice"):
    return bare(title, procedure_id="practice", rehearsal=title == "Rehearsal")


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

    # Causes

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
        assert journal.follow(job.id, 0) == [entry for _, entry in journal.find(KINDS)] == job.entries()

    # Reading without holding

    def test_entries_of_asked_kinds_are_found_over_all_jobs_in_order(self, journal):
        jobs = [journal.create([opened()], NOON + number) for number in range(3)]
        for job in reversed(jobs):
            job.append([note(f"of {job.id}"), *GOOD], NOON + 9)
        found = list(journal.find(("note", "step_done")))
        assert [(name, entry.seq, entry.kind) for name, entry in found] == [
            (job.id, seq, kind) for job in jobs for seq, kind in ((2, "note"), (4, "step_done"))
        ]
        assert [entry.data["text"] for _, entry in found[::2]] == [f"of {job.id}" for job in jobs]
        assert list(journal.find(())) == list(journal.find(("unknown",))) == []

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
        with pytest.raises(Damaged, match=r"has no entry 2 any more.* assistant verify"):
            journal.follow(job.id, 2)

    # Holding

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

    # Forgetting

    def secret(self, journal, *facts):
        job = journal.create([bare("t", operator="Kim")], NOON)
        job.append([heard(), note("the words", step="s1"), *facts], NOON + 1)
        job.close()
        return job.id

    def test_what_is_forgotten_is_gone_everywhere_and_the_chain_is_as_it_was(self, journal):
        name = self.secret(journal, Closed())
        other = self.secret(journal, Closed())
        before = journal.read(name).entries
        assert journal.forget(name, NOON + 5) == 2
        entries, verdict = journal.read(name)
        assert verdict.good
        assert journal.verify(name).good
        assert [entry.hash for entry in entries[:-1]] == [entry.hash for entry in before]
        assert (entries[-1].kind, entries[-1].at_ms, dict(entries[-1].data)) == ("forgotten", NOON + 5, {"entries": 2})
        assert (entries[0].data["operator"], entries[0].data["title"]) == (GONE, "t")
        assert entries[2].fact == note(GONE, step="s1")
        assert journal.first(name).data["operator"] == GONE
        assert journal.follow(name, 2)[0].data["text"] == GONE
        assert [entry.data["text"] for _, entry in journal.find(("note",))] == [GONE, "the words"]
        assert journal.read(other).entries[0].data["operator"] == "Kim"
        assert journal.hold(name, NOON + 6).entries() == entries

    def test_what_is_forgotten_already_changes_nothing(self, journal):
        name = self.secret(journal, Closed())
        journal.forget(name, NOON + 5)
        entries = journal.read(name).entries
        assert journal.forget(name, NOON + 6) == 0
        assert journal.read(name).entries == entries

    def test_a_job_that_is_open_or_held_is_not_forgotten(self, journal):
        name = self.secret(journal)
        with pytest.raises(JournalFault, match=f"{name} is not closed, .* assistant resume {name}"):
            journal.forget(name, NOON + 5)
        job = journal.hold(name, NOON + 5)
        job.append([Closed()], NOON + 5)
        with pytest.raises(JobBusy):
            journal.forget(name, NOON + 6)
        assert journal.first(name).data["operator"] == "Kim"
        job.close()
        assert journal.forget(name, NOON + 7) == 2

    # Damage

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


class TestMemory(Contract):
    @pytest.fixture
    def journal(self):
        return MemoryJournal()

    @pytest.fixture
    def elsewhere(self, journal):
        """Make a journal on the same jobs for another machine, or for another process of this one."""
        return lambda host: MemoryJournal(host=host, beside=journal)

    @pytest.fixture
    def spoil(self, journal):
        """Change one letter of an entry."""

        def spoil(name, seq):
            rows = journal._jobs[name].kept.rows
            rows[seq - 1] = replace(rows[seq - 1], data=rows[seq - 1].data.replace("e", "a", 1))

        return spoil


class TestSqlite(Contract):
    @pytest.fixture
    def journal(self, path):
        with contextlib.closing(SqliteJournal(path)) as journal:
            yield journal

    @pytest.fixture
    def elsewhere(self, path, tmp_path):
        """Make a journal on the same file for another machine, whose kernel knows other locks, or for this one."""
        with contextlib.ExitStack() as stack:

            def elsewhere(host):
                locks = tmp_path / host
                locks.mkdir(exist_ok=True)
                mine = None if host == platform.node() else locks
                return stack.enter_context(contextlib.closing(SqliteJournal(path, host=host, locks=mine)))

            yield elsewhere

    @pytest.fixture
    def spoil(self, path):
        """Change one letter of an entry."""
        return lambda name, seq: tamper(
            path, f"UPDATE entry SET data = replace(data, 'e', 'a') WHERE job = '{name}' AND seq = {seq}"
        )
