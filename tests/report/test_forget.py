"""Personal data goes for good, out of the raw files, and the chain stays as it was."""

import shutil
import sqlite3

import pytest

from assistant.cli.printing.forget import forget_job
from assistant.cli.printing.record import make, write_record
from assistant.cli.printing.record_check import verify_record
from assistant.events import Record
from assistant.journal.chain import Head, link
from assistant.journal.sqlite import SqliteJournal
from assistant.terminal.exits import Exit
from tests.journal import independent
from tests.report.jobs import SHORT, work

SECRETS = (
    "Frieda Secretname", "white van of the baker", "customer four eleven", "the foreman agreed to it",
    "/home/frieda/own/pump.yaml",
)  # fmt: skip


@pytest.fixture
def job(journal):
    seen = []

    def say(session, now):
        view = session.view(now)
        if view["phase"] == "doing" and len(seen) < 2:
            seen.append(1)
            return ("take a note", "skip this step")[len(seen) - 1]
        return "confirmed" if view["phase"] == "confirming" else None

    operator, asset, customer, _, path = SECRETS
    names = {"operator": operator, "asset": asset, "customer": customer, "procedure_path": path}
    return work(journal, SHORT, say=say, most=400, **names)


def raw(home):
    return b"".join(file.read_bytes() for file in home.rglob("*") if file.is_file())


def test_the_words_are_in_no_file_afterwards_and_the_chain_holds(journal, home, job, tmp_path, capsys):
    before = journal.entries(job)
    for secret in SECRETS:
        assert secret.encode() in raw(home)
    file = tmp_path / "old.html"
    write_record(job, {"html": file}, None, paper="a4", force=False)
    (home / "audio" / job).mkdir(parents=True)
    (home / "audio" / job / "1.wav").write_bytes(b"sound")
    assert forget_job(job, sure=False) is Exit.USAGE
    assert len(journal.entries(job)) == len(before)
    assert forget_job(job, sure=True) is Exit.OK
    for secret in SECRETS:
        assert secret.encode() not in raw(home)
    assert not (home / "audio" / job).exists()
    journal.close()
    after_journal = SqliteJournal(home / "journal.sqlite", read_only=True)
    after = after_journal.entries(job)
    assert after_journal.verify(job).good
    after_journal.close()
    assert [entry.hash for entry in after[:-1]] == [entry.hash for entry in before]
    assert len(independent.check(home / "journal.sqlite", job)) == len(after)
    assert (after[0].data["operator"], after[-1].kind) == ("[removed]", "forgotten")
    kept = [(entry.kind, entry.data.get("step"), entry.data.get("count")) for entry in before]
    assert [(entry.kind, entry.data.get("step"), entry.data.get("count")) for entry in after[:-1]] == kept
    html = make(job, after, paper="a4", clock=0).form("html").decode()
    assert not [secret for secret in SECRETS if secret in html]
    capsys.readouterr()
    assert verify_record(str(file)) is Exit.OK
    assert "Personal data of the job was removed since then" in " ".join(capsys.readouterr().out.split())


def test_what_is_forgotten_already_leaves_no_entry_that_says_so_again(journal, home, job, capsys):
    assert forget_job(job, sure=True) is Exit.OK
    entries, file = journal.entries(job), (home / "journal.sqlite").read_bytes()
    capsys.readouterr()
    assert forget_job(job, sure=True) is Exit.OK
    assert "Nothing personal is left" in capsys.readouterr().out
    assert journal.entries(job) == entries
    assert (home / "journal.sqlite").read_bytes() == file


def test_the_path_that_an_older_version_left_inside_of_an_entry_goes_too(journal, home):
    """It was no personal value then; such an entry is rewritten as those of the first format are."""
    path, name = home / "journal.sqlite", work(journal, SHORT)
    head = journal.entries(name)
    inside = link(name, Head(), [Record(head[0].kind, {**head[0].data, "procedure_path": SECRETS[-1]})], head[0].at_ms)
    follow = [*inside]
    for entry in head[1:]:
        follow += link(name, Head(follow[-1].seq, follow[-1].hash), [Record(entry.kind, entry.data)], entry.at_ms)
    journal.close()
    db = sqlite3.connect(path)
    guards = db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for guard, _ in guards:
        db.execute(f"DROP TRIGGER {guard}")
    for new in follow:
        row = (new.data, new.prev, new.hash, new.seq)
        db.execute("UPDATE entry SET data = ?, prev = ?, hash = ? WHERE seq = ?", row)
    db.execute("DELETE FROM personal")
    db.execute("UPDATE head SET hash = ?", (follow[-1].hash,))
    for _, sql in guards:
        db.execute(sql)
    db.commit()
    db.close()
    assert SECRETS[-1].encode() in raw(home)
    assert forget_job(name, sure=True) is Exit.OK
    assert SECRETS[-1].encode() not in raw(home)
    reading = SqliteJournal(path, read_only=True)
    assert reading.verify(name).good
    assert reading.entries(name)[0].data["procedure_path"] == "[removed]"
    reading.close()


def test_other_jobs_keep_their_words(journal, job):
    other = work(journal, SHORT, asset="another machine")
    assert forget_job(job, sure=True) is Exit.OK
    assert journal.entries(other)[0].data["asset"] == "another machine"
    assert journal.verify(other).good


def test_an_open_job_is_refused(journal, capsys):
    work(journal, SHORT, most=10, asset="x")
    assert forget_job("last", sure=True) is Exit.JOURNAL
    assert "is not closed" in capsys.readouterr().err
    assert journal.entries("last")[0].data["asset"] == "x"


def old_format(path, journal, job):
    """Write the job as the first format had it: everything inside of the entries, and no table beside them."""
    entries = journal.entries(job)
    journal.close()
    db = sqlite3.connect(path)
    for (name,) in db.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        if name.startswith(("personal", "head")):
            db.execute(f"DROP TRIGGER {name}")
    guards = db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        db.execute(f"DROP TRIGGER {name}")
    db.execute("DROP TABLE personal")
    db.execute("DROP TABLE head")
    db.execute("DELETE FROM entry")
    head = Head()
    for entry in entries:
        (new,) = link(job, head, [entry], entry.at_ms)
        head = Head(new.seq, new.hash)
        row = (job, new.seq, new.at_ms, new.kind, new.data, new.prev, new.hash)
        db.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?)", row)
    for _, sql in guards:
        db.execute(sql)
    db.execute("PRAGMA user_version = 1")
    db.commit()
    db.execute("VACUUM")
    db.close()


def test_a_job_of_the_first_format_is_read_taken_over_and_can_be_forgotten(journal, home, job):
    path = home / "journal.sqlite"
    before = [(entry.kind, dict(entry.data)) for entry in journal.entries(job)]
    old_format(path, journal, job)
    reading = SqliteJournal(path, read_only=True)
    assert [(entry.kind, dict(entry.data)) for entry in reading.entries(job)] == before
    heads = [entry.hash for entry in reading.entries(job)]
    reading.close()
    assert forget_job(job, sure=True) is Exit.OK
    for secret in SECRETS:
        assert secret.encode() not in raw(home)
    reading = SqliteJournal(path, read_only=True)
    verdict = reading.verify(job)
    assert verdict.good
    assert "were rewritten when personal data was removed" in verdict.sentence
    assert [entry.hash for entry in reading.entries(job)][:-1] == heads
    reading.close()


def test_a_change_under_the_cloak_of_forgetting_is_found(journal, home, job, tmp_path):
    """What was rewritten is listed by hash: any other change of such an entry, or of another one, does not fit."""
    path = home / "journal.sqlite"
    old_format(path, journal, job)
    assert forget_job(job, sure=True) is Exit.OK
    for number, change in enumerate(
        (
            "UPDATE entry SET data = replace(data, 'white', 'black') || ' ' WHERE kind = 'opened'",
            "UPDATE entry SET data = replace(data, 'sealed', 'seeled') WHERE seq = 1",
            "UPDATE entry SET data = replace(data, '\"count\":4', '\"count\":3') WHERE kind = 'counted'",
            "UPDATE entry SET data = replace(data, '[[1,', '[[2,') WHERE kind = 'forgotten'",
        )
    ):
        copy = tmp_path / f"{number}.sqlite"
        shutil.copy(path, copy)
        db = sqlite3.connect(copy)
        db.execute("DROP TRIGGER entry_no_update")
        db.execute(change)
        db.commit()
        db.close()
        reading = SqliteJournal(copy, read_only=True)
        assert not reading.verify(job).good, change
        reading.close()
