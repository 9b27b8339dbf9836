"""A journal on disk with one job in it."""

import pytest

from assistant.events import Record
from assistant.journal.sqlite.store import SqliteJournal

NOON = 1_790_000_000_000
"""A moment in 2026, in milliseconds since the epoch."""

GOOD = [Record("heard", {"text": "next"}), Record("step_done", {"step": "s1"})]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.sqlite"


@pytest.fixture
def journal(path):
    journal = SqliteJournal(path)
    yield journal
    journal.close()


@pytest.fixture
def job(journal):
    job = journal.create([Record("opened", {"title": "Practice"})], NOON)
    job.append(GOOD, NOON + 1)
    yield job
    job.close()


def notes(job, count, size=200):
    """Append ``count`` notes of ``size`` characters in one go."""
    return job.append([Record("note", {"number": number, "text": "x" * size}) for number in range(count)], NOON + 2)
