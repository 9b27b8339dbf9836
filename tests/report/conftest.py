"""A data folder of its own for each test, with a journal in it."""

import pytest

from assistant.journal.sqlite import SqliteJournal


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def journal(home):
    journal = SqliteJournal(home / "journal.sqlite")
    journal._db.execute("PRAGMA synchronous = OFF")  # no power is pulled here
    yield journal
    journal.close()
