"""Full disks, closed folders, several processes: one sentence each, and nothing lost."""

import multiprocessing
import os
import resource
import shutil
import stat
import subprocess

import pytest

from assistant.journal.port import JobBusy, JournalFault
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, note
from tests.journal import independent
from tests.journal.conftest import GOOD, NOON, notes

FORK = multiprocessing.get_context("fork")


def in_child(call, *, as_nobody=False):
    """Run ``call`` in a process of its own and return its answer, or the sentence it fails with.

    ``as_nobody``: not as root, whom permissions do not bind.
    """
    here, there = FORK.Pipe()

    def body():
        if as_nobody and os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        try:
            there.send(call())
        except JournalFault as fault:
            there.send(fault.sentence)

    process = FORK.Process(target=body)
    process.start()
    there.close()
    answer = here.recv()
    process.join()
    return answer


@pytest.fixture
def closed_folder(tmp_path):
    """A folder in which nobody may write, with a journal in it."""
    folder = tmp_path / "closed"
    folder.mkdir()
    journal = SqliteJournal(folder / "journal.sqlite")
    journal.create([bare("Practice")], NOON).close()
    journal.close()
    for file in folder.iterdir():
        file.chmod(0o444)
    folder.chmod(0o555)
    for parent in tmp_path.parents[:3]:
        parent.chmod(parent.stat().st_mode | 0o055)
    tmp_path.chmod(0o755)
    yield folder
    folder.chmod(0o755)


def test_a_new_journal_in_a_read_only_folder_gives_one_sentence(closed_folder):
    sentence = in_child(lambda: SqliteJournal(closed_folder / "new.sqlite"), as_nobody=True)
    assert str(closed_folder) in sentence
    assert "write access" in sentence
    assert "ASSISTANT_HOME" in sentence


def test_work_on_a_journal_in_a_read_only_folder_gives_one_sentence(closed_folder):
    sentence = in_child(lambda: SqliteJournal(closed_folder / "journal.sqlite").hold("last", NOON), as_nobody=True)
    assert str(closed_folder) in sentence
    assert "write access" in sentence


def test_a_journal_in_a_read_only_folder_can_still_be_read(closed_folder):
    path = closed_folder / "journal.sqlite"
    assert in_child(lambda: SqliteJournal(path, read_only=True).verify("last").good, as_nobody=True) is True


def test_a_journal_of_somebody_else_gives_one_sentence_even_to_read(closed_folder):
    (closed_folder / "journal.sqlite").chmod(0o000)
    sentence = in_child(
        lambda: SqliteJournal(closed_folder / "journal.sqlite", read_only=True).verify("last"), as_nobody=True
    )
    assert "may not be read by you" in sentence
    assert "ASSISTANT_HOME" in sentence


def test_missing_folders_are_made_for_their_owner_alone(tmp_path):
    path = tmp_path / "a" / "b" / "journal.sqlite"
    journal = SqliteJournal(path)
    job = journal.create([bare()], NOON)
    assert len(independent.check(path, job.id)) == 1
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_a_folder_that_cannot_be_made_gives_one_sentence(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(JournalFault, match=r"cannot be opened \(Not a directory\); check that its folder"):
        SqliteJournal(tmp_path / "file" / "below" / "journal.sqlite")


@pytest.mark.parametrize("read_only", [False, True])
def test_a_folder_where_the_file_should_be_gives_one_sentence(path, read_only):
    path.mkdir()
    with pytest.raises(JournalFault, match=str(path)):
        SqliteJournal(path, read_only=read_only)


def test_no_journal_to_read_says_how_to_start(path):
    with pytest.raises(JournalFault, match="assistant run PROCEDURE"):
        SqliteJournal(path, read_only=True)
    assert not path.exists()


def test_a_read_only_disk_gives_one_sentence(small_disk):
    folder, mounted = small_disk
    if not mounted:
        pytest.skip("no disk can be mounted here without root")
    subprocess.run(["mount", "-o", "remount,ro", folder], check=True)
    with pytest.raises(JournalFault, match="read-only disk"):
        SqliteJournal(folder / "journal.sqlite")


@pytest.fixture
def small_disk(tmp_path):
    """A real disk of 96 KiB. Where none can be mounted (no root), SQLite's own page limit stands in for it."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", folder]
    mounted = shutil.which("mount") is not None and subprocess.run(mount, capture_output=True).returncode == 0
    yield folder, mounted
    if mounted:
        subprocess.run(["umount", "-l", folder], check=True)


def test_a_full_disk_loses_nothing_and_the_job_goes_on_when_there_is_room(small_disk):
    folder, mounted = small_disk
    path = folder / "journal.sqlite"
    journal = SqliteJournal(path)
    if not mounted:
        journal._db.link.execute("PRAGMA max_page_count = 16")
    job = journal.create([bare("Practice")], NOON)
    kept = 1
    with pytest.raises(JournalFault, match=r"is full, so the last thing was not kept; .* Free some space"):
        for _ in range(10_000):
            job.append([note("x" * 400)], NOON)
            kept += 1
    assert kept > 10
    assert len(independent.check(path, job.id)) == kept
    with pytest.raises(JournalFault, match="full"):
        notes(job, 500)
    with pytest.raises(JournalFault, match="full"):
        journal.create([bare(procedure_yaml="x" * 100_000)], NOON)
    assert len(list(journal.scan())) == 1
    if mounted:
        subprocess.run(["mount", "-o", "remount,size=2m", folder], check=True)
    else:
        journal._db.link.execute("PRAGMA max_page_count = 1000")
    job.append(GOOD, NOON)
    assert len(independent.check(path, job.id)) == kept + 2
    assert journal.verify(job.id).good
    journal.close()


def test_a_disk_that_is_full_from_the_start_gives_one_sentence(small_disk):
    folder, mounted = small_disk
    if not mounted:
        pytest.skip("no disk can be mounted here without root")
    with pytest.raises(OSError, match="No space"), (folder / "filler").open("wb", buffering=0) as filler:
        while True:
            filler.write(b"x" * 4096)
    with pytest.raises(JournalFault, match="is full"):
        SqliteJournal(folder / "journal.sqlite").create([bare()], NOON)
    (folder / "filler").unlink()
    assert SqliteJournal(folder / "journal.sqlite").create([bare()], NOON).id


def test_a_file_at_its_size_limit_loses_nothing(path, job):
    """A quota that is reached is not "disk full" to SQLite but a failed write: it must end as well."""
    job.close()

    def fill():
        limit = path.stat().st_size + 40_000
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
        mine = SqliteJournal(path).hold("last", NOON)
        kept = 0
        try:
            while True:
                kept += len(notes(mine, 5))
        except JournalFault as fault:
            resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
            mine.append(GOOD, NOON)
            return kept + len(GOOD), fault.sentence

    kept, sentence = in_child(fill)
    assert str(path) in sentence
    assert "not kept" in sentence
    assert len(independent.check(path, job.id)) == 3 + kept


def test_a_second_process_is_refused_with_the_name_of_the_job(path, job):
    sentence = in_child(lambda: SqliteJournal(path).hold(job.id, NOON).id)
    assert sentence == (
        f"Job {job.id} is being worked on by another process of the assistant on this machine; end that one first."
    )


def test_while_one_process_works_others_can_read_and_open_other_jobs(path, job):
    assert in_child(lambda: SqliteJournal(path, read_only=True).verify(job.id).good) is True
    assert in_child(lambda: SqliteJournal(path).create([bare()], NOON).id) == job.id[:-1] + "2"


def test_a_job_that_was_let_go_leaves_no_lock_behind(path, job):
    assert list(path.parent.glob("*.lock")) != []
    job.close()
    assert list(path.parent.glob("*.lock")) == []
    assert in_child(lambda: SqliteJournal(path).hold(job.id, NOON).id) == job.id


def test_processes_that_start_jobs_at_once_get_a_job_each(path):
    def start(gate, answers):
        gate.wait()
        journal = SqliteJournal(path)
        answers.put([journal.create([bare()], NOON).id for _ in range(5)])

    gate, answers = FORK.Barrier(4), FORK.Queue()
    starters = [FORK.Process(target=start, args=(gate, answers)) for _ in range(4)]
    for starter in starters:
        starter.start()
    names = [name for _ in starters for name in answers.get(timeout=60)]
    for starter in starters:
        starter.join()
    day = names[0].rpartition("-")[0]
    assert sorted(names) == sorted(f"{day}-{number}" for number in range(1, 21))


def test_the_same_process_cannot_hold_a_job_twice(path, job):
    with pytest.raises(JobBusy):
        SqliteJournal(path).hold(job.id, NOON)


@pytest.mark.parametrize("held_by", ["the file", "a link to it"])
def test_a_link_to_the_journal_is_the_journal(path, job, tmp_path, held_by):
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "link.sqlite"
    link.symlink_to(path)
    if held_by == "a link to it":
        job.close()
        job = SqliteJournal(link).hold(job.id, NOON)
        assert "being worked on" in in_child(lambda: SqliteJournal(path).hold(job.id, NOON).id)
    else:
        assert "being worked on" in in_child(lambda: SqliteJournal(link).hold(job.id, NOON).id)
    job.append(GOOD, NOON + 2)
    assert len(independent.check(path, job.id)) == 5


def lock_of(path, job):
    return path.with_name(f"{path.name}.{job.id}.lock")


def test_a_lock_that_was_removed_is_taken_again_before_the_next_answer(path, job):
    lock_of(path, job).unlink()
    job.append(GOOD, NOON + 2)
    assert "being worked on" in in_child(lambda: SqliteJournal(path).hold(job.id, NOON).id)


def test_two_writers_after_a_removed_lock_lose_nothing_and_spoil_nothing(path, job):
    """Each answer is kept only behind the entry that its writer saw last; who is behind reads again first."""
    lock_of(path, job).unlink()
    second = SqliteJournal(path).hold(job.id, NOON)
    with pytest.raises(JobBusy, match="is being worked on by another process"):
        job.append([note("of the first")], NOON + 2)
    second.append([note("of the second")], NOON + 3)
    second.close()
    with pytest.raises(JobBusy, match="wrote into job .* so the last thing was not kept"):
        job.append([note("of the first")], NOON + 4)
    assert [entry.data.get("text") for entry in job.entries()][-1] == "of the second"
    job.append([note("of the first")], NOON + 5)
    texts = [data.get("text") for _, _, data in independent.check(path, job.id)]
    assert texts[-2:] == ["of the second", "of the first"]
    assert SqliteJournal(path, read_only=True).verify(job.id).good
    job.close()
    assert not lock_of(path, job).exists()


def test_letting_go_does_not_take_the_lock_of_another_away(path, job):
    lock_of(path, job).unlink()
    second = SqliteJournal(path).hold(job.id, NOON)
    job.close()
    assert "being worked on" in in_child(lambda: SqliteJournal(path).hold(job.id, NOON).id)
    second.close()


@pytest.mark.parametrize("trouble", ["moved away", "replaced"])
def test_an_answer_is_not_kept_where_nobody_finds_it(path, job, tmp_path, trouble):
    moved = tmp_path / "moved.sqlite"
    path.rename(moved)
    if trouble == "replaced":
        shutil.copy(moved, path)
    with pytest.raises(JournalFault, match="was moved, removed or replaced"):
        job.append(GOOD, NOON + 2)
    moved.rename(path)
    job.append(GOOD, NOON + 3)
    assert len(independent.check(path, job.id)) == 5
