"""What every store of the journal promises about personal data: gone everywhere, with the chain as it was."""

import pytest

from assistant.facts.going import Closed
from assistant.facts.people import Noted
from assistant.journal.personal import GONE
from assistant.journal.port import JobBusy, JournalFault
from tests.jobs import bare, heard, note
from tests.journal.conftest import NOON
from tests.journal.stores import Memory, Postgres, Sqlite


class Forgetting:
    """Subclasses give a ``journal`` that is empty."""

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
        assert [entry.data["text"] for _, entry in journal.find((Noted,))] == [GONE, "the words"]
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


class TestMemory(Forgetting, Memory):
    pass


class TestPostgres(Forgetting, Postgres):
    """In the central store."""


class TestSqlite(Forgetting, Sqlite):
    pass
