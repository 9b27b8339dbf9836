"""A data folder of its own for each test, with a journal in it."""

import pytest

from assistant.journal.opening import open_journal
from tests.journal.disk import unsynced


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def journal(home):
    with open_journal(home) as journal:
        unsynced(journal)
        yield journal
