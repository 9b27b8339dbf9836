"""A workshop with two bays, its office, and the pages of the office."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralPlace
from assistant.desk.options import DisplayOptions
from assistant.journal.postgres.store import PostgresJournal
from assistant.office.serving import OfficeServer
from assistant.workshop.members import add_member, add_workshop

PROCEDURES = Path(__file__).parents[2] / "procedures"


class Workshop:
    """One workshop of the store ``shop``: what its bays write down, and what the office needs to look."""

    def __init__(self, shop, folder: Path, name: str = "alder") -> None:
        self.shop, self.name, self.folder = shop, name, folder
        self.admin = CentralLink(shop.admin)
        add_workshop(self.admin, name)
        self._stack = contextlib.ExitStack()
        self._stack.callback(self.admin.close)
        self.login, self.token = add_member(self.admin, name, "office", office=True)
        self.place = shop.as_login(self.login, self.token)
        self.address = f"host={self.place.host} port={self.place.port} dbname={self.place.database} user={self.login}"
        self.token_file = folder / f"{name}.token"
        self.token_file.write_text(self.token, "ascii")
        self.token_file.chmod(0o600)
        self._bays: dict[str, PostgresJournal] = {}
        self.bay_places: dict[str, CentralPlace] = {}

    def bay(self, bay: str) -> PostgresJournal:
        """Return the journal of a bay, which writes straight into the store."""
        if bay not in self._bays:
            place = self.bay_places[bay] = self.shop.as_login(*add_member(self.admin, self.name, bay))
            self._bays[bay] = self._stack.enter_context(contextlib.closing(PostgresJournal(place)))
        return self._bays[bay]

    def close(self) -> None:
        self._stack.close()


@pytest.fixture
def workshop(shop, tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    workshop = Workshop(shop, tmp_path)
    yield workshop
    workshop.close()


@pytest.fixture
def serve():
    """Serve the office of a workshop."""
    with contextlib.ExitStack() as stack:

        def serve(workshop, *, host="", address="", **more):
            office = OfficeServer(
                DisplayOptions(host, 0), address or workshop.address, workshop.token_file, procedures=PROCEDURES, **more
            )
            return stack.enter_context(contextlib.closing(office))

        yield serve


from tests.display.conftest import network  # noqa: E402, F401 - an address of this machine in its network
