"""The journal on disk: it cannot be rewritten, it survives kill -9 and a full disk, and damage is named."""

import multiprocessing
import os
import random
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.events import Record
from assistant.journal.port import Damaged, JobBusy, JournalFault
from assistant.journal.sqlite import SqliteJournal
from tests.journal import independent

NOON = 1_790_000_000_000
GOOD = [Record("heard", {"text": "next"}), Record("step_done", {"step": "s1"})]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.sqlite"


@pytest.fixture
def job(path):
    journal = SqliteJournal(path)
    job = journal.create([Record("opened", {"title": "Practice"})], NOON)
    job.append(GOOD, NOON + 1)
    yield job
    job.close()
    journal.close()


def raw(path):
    return sqlite3.connect(path)


def test_the_chain_holds_for_a_reader_that_shares_no_code(path, job):
    assert [kind for _, kind, _ in independent.check(path, job.id)] == ["opened", "heard", "step_done"]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET kind = 'skipped' WHERE seq = 2",
        "DELETE FROM entry WHERE seq = 3",
        "INSERT OR REPLACE INTO entry SELECT job, seq, at_ms, 'skipped', data, prev, hash FROM entry WHERE seq = 2",
        "REPLACE INTO entry SELECT job, seq, at_ms, 'skipped', data, prev, hash FROM entry WHERE seq = 3",
        "INSERT INTO entry SELECT job, 5, at_ms, kind, data, hash, hash FROM entry WHERE seq = 3",
        "INSERT INTO entry SELECT job, 4, at_ms, kind, data, prev, hash FROM entry WHERE seq = 3",
        "INSERT INTO entry SELECT job, 4, at_ms, kind, 'no json', hash, hash FROM entry WHERE seq = 3",
        "INSERT INTO entry SELECT 'no job', 1, at_ms, kind, data, printf('%064d', 0), hash FROM entry WHERE seq = 3",
        "UPDATE job SET name = 'other'",
        "DELETE FROM job",
        "INSERT OR REPLACE INTO job SELECT * FROM job",
        "INSERT OR REPLACE INTO entry SELECT job, 0, at_ms, kind, data, prev, hash FROM entry WHERE seq = 1",
    ],
)
def test_plain_sql_cannot_change_what_is_there(path, job, statement):
    before = job.entries()
    db = raw(path)
    db.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError):
        db.execute(statement)
    db.rollback()
    db.close()
    assert job.entries() == before


def test_every_commit_is_synced_before_it_returns(job):
    assert job._journal._db.execute("PRAGMA synchronous").fetchone()[0] == 2  # FULL, see the SQLite manual


def test_a_second_process_is_refused_with_the_name_of_the_job(path, job):
    code = (
        "import sys; from pathlib import Path; from assistant.journal.sqlite import SqliteJournal;"
        "from assistant.journal.port import JobBusy\n"
        "try: SqliteJournal(Path(sys.argv[1])).open_job(sys.argv[2])\n"
        "except JobBusy as fault: print(fault.sentence)"
    )
    out = subprocess.run([sys.executable, "-c", code, path, job.id], capture_output=True, text=True, check=True).stdout
    assert job.id in out
    assert "another process" in out


def test_a_tampered_entry_is_named_and_the_good_part_stays_readable(path, job):
    job.append([Record("note", {"text": "later"})], NOON + 2)
    job.close()
    db = raw(path)
    db.execute("DROP TRIGGER entry_no_update")
    db.execute('UPDATE entry SET data = \'{"text":"next","confidence":"1.000"}\' WHERE seq = 2')
    db.commit()
    db.close()
    before = path.read_bytes()
    journal = SqliteJournal(path, read_only=True)
    verdict = journal.verify(job.id)
    assert (verdict.good, verdict.entries) == (False, 1)
    assert "Entry 2" in verdict.sentence
    assert "assistant show" in verdict.sentence
    with pytest.raises(Damaged, match="Entry 2"):
        SqliteJournal(path).open_job(job.id)
    assert path.read_bytes() == before


def test_a_file_with_broken_pages_gives_a_sentence_and_is_not_written(path, job):
    for number in range(400):
        job.append([Record("note", {"text": "x" * 200, "number": number})], NOON + number)
    job.close()
    data = bytearray(path.read_bytes())
    middle = len(data) // 2 // 4096 * 4096
    data[middle : middle + 3 * 4096] = random.Random(5).randbytes(3 * 4096)
    path.write_bytes(data)
    journal = SqliteJournal(path, read_only=True)
    verdict = journal.verify(job.id)
    assert not verdict.good
    assert 50 < verdict.entries < 403
    assert f"Entry {verdict.entries + 1} " in verdict.sentence
    assert len(journal.entries(job.id)) >= verdict.entries
    assert path.read_bytes() == bytes(data)


@pytest.mark.parametrize("keep", [0.5, 0.9])
def test_a_cut_file_gives_a_sentence(path, job, keep):
    for number in range(100):
        job.append([Record("note", {"text": "x" * 300, "number": number})], NOON + number)
    job.close()
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * keep)])
    try:
        verdict = SqliteJournal(path, read_only=True).verify(job.id)
        assert not verdict.good
    except JournalFault as fault:
        assert str(path) in fault.sentence


@pytest.mark.parametrize("content", [b"this is no database at all, it is text" * 40, bytes(range(256)) * 32])
def test_something_else_than_a_journal_is_refused_and_left_alone(path, content):
    path.write_bytes(content)
    with pytest.raises(JournalFault, match="not a journal"):
        SqliteJournal(path)
    assert path.read_bytes() == content


def test_another_programs_database_is_refused(path):
    db = raw(path)
    db.execute("CREATE TABLE their (stuff)")
    db.commit()
    db.close()
    with pytest.raises(JournalFault, match="not a journal"):
        SqliteJournal(path)


def test_a_journal_from_a_newer_version_is_refused(path, job):
    db = raw(path)
    db.execute("PRAGMA user_version = 9")
    db.close()
    with pytest.raises(JournalFault, match="newer version"):
        SqliteJournal(path)


def _as_nobody(call):
    """Run ``call`` in a child that is not root (whom permissions do not bind) and return the sentence it fails with."""
    pipe, child = multiprocessing.Pipe()

    def body():
        if os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        try:
            call()
            child.send("no fault")
        except JournalFault as fault:
            child.send(fault.sentence)

    process = multiprocessing.get_context("fork").Process(target=body)
    process.start()
    sentence = pipe.recv()
    process.join()
    return sentence


def test_a_read_only_folder_gives_one_sentence(tmp_path):
    folder = tmp_path / "closed"
    folder.mkdir()
    folder.chmod(0o555)
    for parent in tmp_path.parents[:3]:
        parent.chmod(parent.stat().st_mode | 0o055)
    tmp_path.chmod(0o755)
    sentence = _as_nobody(lambda: SqliteJournal(folder / "journal.sqlite"))
    assert str(folder) in sentence
    assert "write" in sentence


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 96 KiB. Where none can be mounted (no root), SQLite's own page limit stands in for it."""
    folder = tmp_path / "small"
    folder.mkdir()
    mounted = (
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", folder], capture_output=True).returncode == 0
    )
    yield folder, mounted
    if mounted:
        subprocess.run(["umount", "-l", folder], check=True)


def test_a_full_disk_loses_nothing_and_the_job_goes_on_when_there_is_room(small_disk):
    folder, mounted = small_disk
    journal = SqliteJournal(folder / "journal.sqlite")
    if not mounted:
        journal._db.execute("PRAGMA max_page_count = 16")
    job = journal.create([Record("opened", {"title": "Practice"})], NOON)
    kept = 1
    with pytest.raises(JournalFault, match="full"):
        for number in range(10_000):
            job.append([Record("note", {"text": "x" * 400, "number": number})], NOON)
            kept += 1
    assert len(independent.check(folder / "journal.sqlite", job.id)) == kept
    if mounted:
        subprocess.run(["mount", "-o", "remount,size=1m", folder], check=True)
    else:
        journal._db.execute("PRAGMA max_page_count = 1000")
    job.append(GOOD, NOON)
    assert len(independent.check(folder / "journal.sqlite", job.id)) == kept + 2
    journal.close()


CHILD = """
import sys
from pathlib import Path
from assistant.events import Record
from assistant.journal.sqlite import SqliteJournal

journal = SqliteJournal(Path(sys.argv[1]))
job = journal.open_job(sys.argv[2])
start = len(job.entries())
for number in range(start, start + 100_000):
    job.append([Record("heard", {"text": "next"}), Record("step_done", {"number": number})], number)
    print(number, flush=True)  # stands for the first sound of the answer
"""


def test_kill_9_at_100_random_moments_loses_nothing_that_was_answered(path):
    journal = SqliteJournal(path)
    job = journal.create([Record("opened", {"title": "Practice"})], NOON)
    job.close()
    journal.close()
    rng = random.Random(7)
    answered: set[int] = set()
    for _ in range(100):
        child = subprocess.Popen([sys.executable, "-c", CHILD, path, job.id], stdout=subprocess.PIPE, text=True)
        for _ in range(rng.randint(1, 12)):
            answered.add(int(child.stdout.readline()))
        child.send_signal(signal.SIGKILL)
        answered.update(int(line) for line in child.stdout.read().split() if line)
        child.wait()
    kept = {data["number"] for _, kind, data in independent.check(path, job.id) if kind == "step_done"}
    assert answered <= kept
    again = SqliteJournal(path)
    again.open_job(job.id).append(GOOD, NOON)
    assert again.verify(job.id).good
    again.close()


def test_the_lock_dies_with_its_process(path, job):
    name = job.id
    job.close()
    child = subprocess.Popen([sys.executable, "-c", CHILD, path, name], stdout=subprocess.PIPE, text=True)
    child.stdout.readline()
    with pytest.raises(JobBusy):
        SqliteJournal(path).open_job(name)
    child.kill()
    child.wait()
    SqliteJournal(path).open_job(name).close()


def test_a_job_opened_in_a_folder_that_is_not_there_makes_it(tmp_path):
    path = Path(tmp_path / "a" / "b" / "journal.sqlite")
    SqliteJournal(path).create([Record("opened")], NOON)
    assert len(independent.check(path, SqliteJournal(path).jobs()[0].id)) == 1
