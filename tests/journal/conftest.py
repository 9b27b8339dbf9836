"""A journal on disk with one job in it."""

import pytest

from assistant.facts.steps import StepDone
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000
"""A moment in 2026, in milliseconds since the epoch."""

GOOD = [heard(), StepDone(step="s1")]


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
    job = journal.create([bare("Practice")], NOON)
    job.append(GOOD, NOON + 1)
    yield job
    job.close()


def notes(job, count, size=200):
    """Append ``count`` notes of ``size`` characters in one go."""
    return job.append([note("x" * size) for number in range(count)], NOON + 2)
