"""Plain SQL, from any program, cannot change what is in the journal."""

import contextlib
import sqlite3

import pytest

from assistant.facts.bay import EndedBy, Interrupted
from assistant.facts.steps import StepDone
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, heard
from tests.journal import independent
from tests.journal.conftest import NOON

NEW = "INSERT INTO entry SELECT job, 4, at_ms, kind, version, cause, data, hash, hash FROM entry WHERE seq = 3"
"""An entry that follows the last one: the only kind of statement that goes through (its own hash is nonsense)."""

SAME = "entry SELECT job, seq, at_ms, 'skipped', version, cause, data, prev, hash FROM entry WHERE seq ="
"""An entry that is there, with another kind."""

FORBIDDEN = [
    "UPDATE entry SET kind = 'skipped' WHERE seq = 2",
    "UPDATE entry SET seq = 9 WHERE seq = 3",
    "UPDATE OR REPLACE entry SET seq = 2 WHERE seq = 3",
    "DELETE FROM entry WHERE seq = 3",
    "DELETE FROM entry",
    f"INSERT OR REPLACE INTO {SAME} 2",
    f"REPLACE INTO {SAME} 3",
    f"INSERT OR IGNORE INTO {SAME} 3",
    "INSERT INTO entry SELECT * FROM entry WHERE seq = 3 ON CONFLICT DO UPDATE SET kind = 'skipped'",
    NEW.replace("4", "3"),  # a number that is there
    NEW.replace("4", "5"),  # a number left out
    NEW.replace("4", "0"),
    NEW.replace("4", "NULL"),
    NEW.replace("hash, hash", "prev, hash"),  # not after the last one
    NEW.replace("hash, hash", "NULL, hash"),
    NEW.replace("data,", "'no json',"),
    NEW.replace("at_ms,", "'noon',"),
    NEW.replace("kind,", "'',"),
    NEW.replace("version,", "0,"),
    NEW.replace("cause,", "4,"),  # no entry follows from itself, or from a later one
    NEW.replace("cause,", "-1,"),
    NEW.replace("job, 4,", "'no job', 1,").replace("hash, hash", "printf('%064d', 0), hash"),
    "UPDATE job SET name = 'other'",
    "UPDATE head SET seq = 2",
    "UPDATE head SET seq = 4",
    "UPDATE head SET hash = printf('%064d', 7)",
    "DELETE FROM head",
    "INSERT OR REPLACE INTO head SELECT job, 2, prev FROM entry WHERE seq = 3",
    "INSERT INTO head SELECT job, seq, hash FROM entry WHERE seq = 2",
    "DELETE FROM job",
    "INSERT OR REPLACE INTO job SELECT * FROM job",
    "INSERT OR REPLACE INTO job VALUES ('other', 'bay1', 1)",
    "INSERT OR REPLACE INTO job SELECT name, bay, 2 FROM job",
    "INSERT INTO lease VALUES ('no job', 'token', 'bay1', 'here', 1, 1)",
]


@pytest.mark.parametrize("statement", FORBIDDEN)
def test_no_statement_changes_or_removes_an_entry(path, job, statement):
    before = job.entries()
    db = sqlite3.connect(path)
    db.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError):
        db.execute(statement)
    db.rollback()
    db.close()
    assert job.entries() == before


def test_a_row_cannot_be_replaced_by_a_hidden_row_number(path, job):
    db = sqlite3.connect(path)
    for table in ("entry", "job"):
        with pytest.raises(sqlite3.OperationalError, match="no such column: rowid"):
            db.execute(f"SELECT rowid FROM {table}")
    db.close()


def test_the_guards_let_the_next_entry_pass(path, job):
    """So that the test above does not pass for a table that takes nothing at all."""
    db = sqlite3.connect(path)
    db.execute(NEW)
    db.rollback()
    db.close()


def test_the_chain_holds_for_a_reader_that_shares_no_code(path, job):
    assert [kind for _, kind, _ in independent.check(path, job.id)] == ["opened", "heard", "step_done"]


def test_letters_marks_and_controls_of_all_kinds_keep_the_chain(path, job):
    text = "Ölwanne, 3 µm \u2013 \u201cfine\u201d \\ / \x00 \x1f \x7f \u2028 \U0001f600 \ufb33"
    job.append([StepDone(step=text)], NOON)
    assert independent.check(path, job.id)[-1][2]["step"] == text
    assert job.entries()[-1].data["step"] == text


class Struck(Database):
    """A file at which Control-C strikes just after the commit, before the append returns."""

    strikes = False

    @contextlib.contextmanager
    def transaction(self):
        with super().transaction() as db:
            yield db
        if self.strikes:
            raise KeyboardInterrupt


def test_a_fault_between_commit_and_return_does_not_lose_the_end_of_the_chain(path):
    """The next entry must follow what is on disk, not what was noted."""
    journal = SqliteJournal(path)
    journal._db.close()
    journal._db = file = Struck(path, read_only=False)
    job = journal.create([bare("Practice")], NOON)
    file.strikes = True
    with pytest.raises(KeyboardInterrupt):
        job.append([heard()], NOON)
    file.strikes = False
    job.append([Interrupted(by=EndedBy.CONTROL_C)], NOON)
    job.close()
    journal.close()
    assert [kind for _, kind, _ in independent.check(path, job.id)][-2:] == ["heard", "interrupted"]
