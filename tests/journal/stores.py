"""The stores of the journal, as one class of fixtures each: every class of the contract is run on each."""

import contextlib
import platform
from dataclasses import replace

import pytest

from assistant.central.link import CentralLink
from assistant.journal.memory import MemoryJournal
from assistant.journal.names import BAY
from assistant.journal.postgres.store import PostgresJournal
from assistant.journal.sqlite.store import SqliteJournal
from assistant.workshop.members import add_member, add_workshop
from tests.jobs import bare
from tests.journal.disk import tamper


def opened(title="Practice"):
    return bare(title, procedure_id="practice", rehearsal=title == "Rehearsal")


class Memory:
    """Jobs in memory."""

    @pytest.fixture
    def journal(self):
        return MemoryJournal()

    @pytest.fixture
    def elsewhere(self, journal):
        """Make a journal on the same jobs for another machine, or for another process of this one."""
        return lambda host: MemoryJournal(host=host, beside=journal)

    @pytest.fixture
    def spoil(self, journal):
        """Change one letter of an entry."""

        def spoil(name, seq):
            rows = journal._jobs[name].kept.rows
            rows[seq - 1] = replace(rows[seq - 1], data=rows[seq - 1].data.replace("e", "a", 1))

        return spoil


class Sqlite:
    """Jobs on disk."""

    @pytest.fixture
    def journal(self, path):
        with contextlib.closing(SqliteJournal(path)) as journal:
            yield journal

    @pytest.fixture
    def elsewhere(self, path, tmp_path):
        """Make a journal on the same file for another machine, whose kernel knows other locks, or for this one."""
        with contextlib.ExitStack() as stack:

            def elsewhere(host):
                locks = tmp_path / host
                locks.mkdir(exist_ok=True)
                mine = None if host == platform.node() else locks
                return stack.enter_context(contextlib.closing(SqliteJournal(path, host=host, locks=mine)))

            yield elsewhere

    @pytest.fixture
    def spoil(self, path):
        """Change one letter of an entry."""
        return lambda name, seq: tamper(
            path, f"UPDATE entry SET data = replace(data, 'e', 'a') WHERE job = '{name}' AND seq = {seq}"
        )


class Postgres:
    """Jobs in the central store, on a real server."""

    @pytest.fixture
    def place(self, shop):
        """The login of a bay of an empty workshop."""
        with contextlib.closing(CentralLink(shop.admin)) as link:
            add_workshop(link, "alder")
            return shop.as_login(*add_member(link, "alder", BAY))

    @pytest.fixture
    def journal(self, place):
        with contextlib.closing(PostgresJournal(place)) as journal:
            yield journal

    @pytest.fixture
    def elsewhere(self, place):
        """Make a journal on the same store for another machine, or for another process of this one."""
        with contextlib.ExitStack() as stack:
            yield lambda host: stack.enter_context(contextlib.closing(PostgresJournal(place, host=host)))

    @pytest.fixture
    def spoil(self, shop):
        """Change one letter of an entry, as only who owns the machine of the store can: with its guards taken away."""

        def spoil(name, seq):
            with contextlib.closing(CentralLink(shop.admin)) as link:
                link.ask("SET session_replication_role = replica")
                link.ask(
                    "UPDATE shop.entry SET data = replace(data, 'e', 'a') WHERE job = %s AND seq = %s", (name, seq)
                )

        return spoil
