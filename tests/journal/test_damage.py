"""Damage is named in one sentence with the entry, what is good stays readable, and the file is not written to."""

import random
import shutil
import sqlite3
from dataclasses import astuple

import pytest

from assistant.journal.chain import Head, link
from assistant.journal.forms import forms
from assistant.journal.personal import LOST
from assistant.journal.port import Damaged, JournalFault
from assistant.journal.sqlite.file import FORMAT
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, note
from tests.journal import independent
from tests.journal.conftest import NOON, notes
from tests.journal.disk import tamper
from tests.journal.flips import HARMLESS, counted, outcome, seen

TAMPERED = [
    ('UPDATE entry SET data = \'{"text":"next","confidence":"1.000"}\' WHERE seq = 2', 2),
    ('UPDATE entry SET data = \'{"text": "next"}\' WHERE seq = 2', 2),  # the same values, other bytes
    ("UPDATE entry SET data = '{\"value\":1.5}' WHERE seq = 3", 3),
    ("UPDATE entry SET data = '[]' WHERE seq = 3", 3),
    ("UPDATE entry SET kind = 'skipped' WHERE seq = 3", 3),
    ("UPDATE entry SET at_ms = at_ms + 1 WHERE seq = 1", 1),
    ("UPDATE entry SET version = 2 WHERE seq = 2", 2),
    ("UPDATE entry SET cause = 1 WHERE seq = 3", 3),
    ("UPDATE entry SET hash = prev WHERE seq = 2", 2),
    ("UPDATE entry SET prev = hash WHERE seq = 2", 2),
    ("DELETE FROM entry WHERE seq = 2", 2),
    ("DELETE FROM entry WHERE seq = 1", 1),
    ("DELETE FROM entry", 1),
    ("UPDATE entry SET seq = 9 WHERE seq = 4", 4),
    ("UPDATE entry SET data = CAST(x'7b2261223a22ff227d' AS TEXT) WHERE seq = 3", 3),  # not UTF-8
]


@pytest.mark.parametrize(("statement", "first_bad"), TAMPERED)
def test_the_first_entry_that_does_not_fit_is_named_and_those_before_it_stay_readable(path, job, statement, first_bad):
    job.append([note("later")], NOON + 2)
    before = job.entries()
    job.close()
    tamper(path, statement)
    content = path.read_bytes()
    journal = SqliteJournal(path, read_only=True)
    verdict = journal.verify(job.id)
    assert (verdict.good, verdict.entries) == (False, first_bad - 1)
    assert verdict.sentence.startswith(f"Entry {first_bad} of job {job.id} ")
    assert journal.read(job.id).entries == before[: first_bad - 1]
    journal.close()
    writing = SqliteJournal(path)
    with pytest.raises(Damaged, match=f"Entry {first_bad} "):
        writing.hold(job.id, NOON)
    writing.close()
    assert path.read_bytes() == content


@pytest.mark.parametrize(
    "statement",
    ["DELETE FROM entry WHERE seq = 3", "DELETE FROM entry WHERE seq >= 2", "DELETE FROM head",
     "UPDATE head SET seq = 4", "UPDATE head SET hash = printf('%064d', 7)"],
)  # fmt: skip
def test_an_end_that_was_cut_off_shows_at_the_note_of_it_and_the_other_way_round(path, job, statement):
    before = job.entries()
    job.close()
    tamper(path, statement)
    content = path.read_bytes()
    journal = SqliteJournal(path, read_only=True)
    verdict = journal.verify(job.id)
    assert not verdict.good
    assert "the note of its end beside them" in verdict.sentence
    assert journal.read(job.id).entries == before[: verdict.entries]
    journal.close()
    writing = SqliteJournal(path)
    with pytest.raises(Damaged, match="the note of its end"):
        writing.hold(job.id, NOON)
    writing.close()
    assert path.read_bytes() == content


@pytest.mark.slow
def test_single_flipped_bits_show_or_change_nothing(tmp_path, capsys):
    """python -m tests.journal.flips does the same with 4,000; without the note of the end, some cut jobs pass."""
    found = counted(tmp_path, 200, 1)
    assert set(found) <= set(HARMLESS), capsys.readouterr().out
    assert found["found"] > 100


def test_the_end_of_a_job_cut_by_one_bit_shows(tmp_path, path, job, journal):
    """The number of cells in the header of a page (SQLite file format, section 1.6): one less hides the last entry."""
    notes(job, 30)
    before = journal.read(job.id).entries
    job.close()
    journal.close()
    data, cut = path.read_bytes(), 0
    for page in range(1, len(data) // 4096):
        at = page * 4096 + 4
        if data[at - 4] not in (2, 10):  # interior and leaf of a tree of keys
            continue
        for bit in (1, 2, 4, 8):
            changed = bytearray(data)
            changed[at] ^= bit
            here = tmp_path / f"{page}-{bit}"
            here.mkdir()
            what = outcome(here / "journal.sqlite", bytes(changed), {job.id: seen(before)})
            assert what in HARMLESS, (page, bit)
            cut += what == "found"
    assert cut > 5


@pytest.mark.parametrize("read_only", [False, True])
def test_a_broken_letter_in_the_schema_is_damage_like_any_other(path, job, journal, read_only):
    """SQLite complains with the name in the complaint, and Python cannot read that complaint."""
    notes(job, 3)
    before = journal.read(job.id).entries
    job.close()
    journal.close()
    data = path.read_bytes()
    at = data.index(b"CREATE TRIGGER job_once")
    path.write_bytes(data[: at + 7] + b"\xc1" + data[at + 8 :])
    if not read_only:
        with pytest.raises(Damaged, match="is damaged .* nothing was written to it"):
            SqliteJournal(path)
        return
    reading = SqliteJournal(path, read_only=True)
    assert reading.read(job.id).entries == before
    verdict = reading.verify(job.id)
    assert not verdict.good
    assert "the file of the journal is damaged" in verdict.sentence
    reading.close()


def test_rows_that_belong_to_no_job_keep_the_file_from_being_written(path, job):
    """Neither the chain of another job nor the pages show it; PRAGMA foreign_key_check does."""
    job.close()
    tamper(path, "INSERT INTO entry SELECT 'lost-1', seq, at_ms, kind, version, cause, data, prev, hash FROM entry")
    journal = SqliteJournal(path, read_only=True)
    assert "the file of the journal is damaged" in journal.verify(job.id).sentence
    journal.close()
    with pytest.raises(Damaged, match="belongs to nothing in the table job"):
        SqliteJournal(path)


def test_one_tampered_job_does_not_stop_another(path, job, journal):
    job.close()
    tamper(path, "UPDATE entry SET kind = 'skipped' WHERE seq = 2")
    other = journal.create([bare("Another")], NOON)
    assert len(independent.check(path, other.id)) == 1


def test_a_job_moved_under_another_name_does_not_fit(path, job, journal):
    """The name is part of each hash, so that entries of one job cannot be passed off as another's."""
    job.close()
    tamper(path, "UPDATE job SET name = 'other-1'", "UPDATE entry SET job = 'other-1'")
    assert not journal.verify("other-1").good


def assert_read(entries, before):
    """What was read is what was written; words that lay in the damage say so."""
    assert [entry.hash for entry in entries] == [entry.hash for entry in before]
    for entry, was in zip(entries, before, strict=True):
        assert {key: value for key, value in was.data.items() if entry.data[key] != LOST}.items() <= entry.data.items()


@pytest.mark.parametrize("seed", [0, 1, 3, 4, 5, 6])  # 2 strikes the page that leads to all the others
def test_broken_pages_are_named_by_entry_and_nothing_more_is_written(path, job, journal, seed):
    notes(job, 400)
    before = job.entries()
    job.close()
    data = bytearray(path.read_bytes())
    at = random.Random(seed).randrange(len(data) // 3, len(data) - 3 * 4096) // 4096 * 4096
    data[at : at + 3 * 4096] = random.Random(seed).randbytes(3 * 4096)
    path.write_bytes(data)
    reading = SqliteJournal(path, read_only=True)
    verdict = reading.verify(job.id)
    assert not verdict.good
    said = verdict.sentence.startswith("All ")  # what is damaged is only what was said in them, or the note of the end
    assert verdict.entries == 403 if said else 50 < verdict.entries < 403
    assert said or verdict.sentence.startswith(f"Entry {verdict.entries + 1} of job {job.id} ")
    assert_read(reading.read(job.id).entries, before[: verdict.entries])
    assert [info.id for info in list(reading.scan())] == [job.id]
    reading.close()
    with pytest.raises(Damaged, match="nothing was written"):
        SqliteJournal(path)
    assert path.read_bytes() == bytes(data)


@pytest.mark.parametrize("keep", [0.4, 0.5, 0.9, 0.999])
def test_a_cut_file_is_read_up_to_the_cut_and_not_written(path, job, journal, keep):
    notes(job, 400)
    before = job.entries()
    job.close()
    journal.close()
    data = path.read_bytes()[: int(path.stat().st_size * keep)]
    path.write_bytes(data)
    reading = SqliteJournal(path, read_only=True)
    verdict = reading.verify(job.id)
    assert not verdict.good
    assert verdict.entries >= 100 * keep
    assert_read(reading.read(job.id).entries, before[: verdict.entries])
    with pytest.raises(Damaged, match="damaged"):
        SqliteJournal(path)
    assert path.read_bytes() == data


@pytest.mark.parametrize("read_only", [False, True])
def test_a_broken_first_page_gives_a_sentence(path, job, journal, read_only):
    job.close()
    journal.close()
    data = random.Random(1).randbytes(4096) + path.read_bytes()[4096:]
    path.write_bytes(data)
    with pytest.raises(Damaged, match="beginning is damaged"):
        SqliteJournal(path, read_only=read_only)
    assert path.read_bytes() == data


@pytest.mark.parametrize("read_only", [False, True])
@pytest.mark.parametrize(
    "content", [b"this is no database at all, it is text" * 40, bytes(range(256)) * 32, b"short"], ids=len
)
def test_something_else_than_a_journal_is_refused_and_left_alone(path, content, read_only):
    path.write_bytes(content)
    with pytest.raises(JournalFault, match="is not a journal"):
        SqliteJournal(path, read_only=read_only)
    assert path.read_bytes() == content


@pytest.mark.parametrize("read_only", [False, True])
def test_another_programs_database_is_refused(path, read_only):
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE their (stuff)")
    db.commit()
    db.close()
    content = path.read_bytes()
    with pytest.raises(JournalFault, match="is not a journal"):
        SqliteJournal(path, read_only=read_only)
    assert path.read_bytes() == content


@pytest.mark.parametrize("version", [0, FORMAT + 1, 99])
@pytest.mark.parametrize("read_only", [False, True])
def test_a_journal_of_another_format_is_refused_and_left_alone(path, job, journal, read_only, version):
    job.close()
    journal.close()
    db = sqlite3.connect(path)
    db.execute(f"PRAGMA user_version = {version}")
    db.close()
    content = path.read_bytes()
    with pytest.raises(
        JournalFault,
        match=rf"another version .*format {version}; this one knows {FORMAT}\); nothing was changed. Use the version",
    ):
        SqliteJournal(path, read_only=read_only)
    assert path.read_bytes() == content


def half_written(path, job, folder):
    """Copy the file and its rollback file at a moment when half of a transaction is in the file, as after a kill."""
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA cache_size = 2")  # pages: the rest spills into the file before the commit
    db.execute("BEGIN IMMEDIATE")
    seq, own = db.execute("SELECT seq, hash FROM entry ORDER BY seq DESC LIMIT 1").fetchone()
    for new in link(job.id, Head(seq, own), forms([note("z" * 3000)] * 50, seq + 1), NOON):
        db.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", (job.id, *astuple(new)))
    folder.mkdir()
    copy = folder / path.name
    shutil.copy(path, copy)
    shutil.copy(f"{path}-journal", f"{copy}-journal")
    db.execute("ROLLBACK")
    db.close()
    return copy


def test_who_already_reads_goes_on_after_a_kill_in_mid_commit(path, job, tmp_path):
    notes(job, 100)
    entries = job.entries()
    copy = half_written(path, job, tmp_path / "killed")
    page = SqliteJournal(path, read_only=True)
    assert page.read(job.id).entries == entries
    job.close()
    for name in (path.name, f"{path.name}-journal"):  # into the files that it has open, as a writer would
        (path.parent / name).write_bytes((copy.parent / name).read_bytes())
    assert page.read(job.id).entries == entries
    assert page.verify(job.id).good
    page.close()


@pytest.mark.parametrize("read_only", [False, True])
def test_after_a_kill_in_mid_commit_the_half_is_taken_back_even_when_only_reading(path, job, tmp_path, read_only):
    notes(job, 100)
    copy = half_written(path, job, tmp_path / "killed")
    assert copy.stat().st_size > path.stat().st_size, "the transaction did not reach the file: the test shows nothing"
    journal = SqliteJournal(copy, read_only=read_only)
    assert journal.verify(job.id).good
    assert journal.read(job.id).entries == job.entries()
    journal.close()
