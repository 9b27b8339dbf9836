"""A job that was paused in one bay is gone on with in another, by voice, through two real days and a real store."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralPlace
from assistant.journal.opening import open_journal
from assistant.settings import Settings
from assistant.workshop.line import TOKEN, CentralLine
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.photo_store import photos_there
from tests.central.cut import Network
from tests.central.photos import photos_of, picture, taken
from tests.central.server import Shop
from tests.devices.waiting import until
from tests.idle.conftest import procedures  # noqa: F401 (a fixture)
from tests.idle.typed_day import day

HERE = ["procedures", "gearbox", "start", "yes", "confirmed", "next", "pause"]


class Room:
    """A bay with its own data folder, settings and line to the store."""

    def __init__(self, folder: Path, place: CentralPlace, name: str, network: Network) -> None:
        self.folder = folder / name
        self.folder.mkdir()
        (self.folder / TOKEN).touch(0o600)
        (self.folder / TOKEN).write_text(place.token, "ascii")
        central = f"host=127.0.0.1 port={network.port} dbname={place.database} user={place.login}"
        self.settings = Settings(bay=name, central=central, operator="Kim")
        with open_journal(self.folder, bay=name):
            pass  # as a bay has one from the moment on that it waits
        self.told: list[str] = []
        self.place = place
        self.line = CentralLine(self.folder, place, tell=self.told.append, on_failure=print)


@pytest.fixture
def network(shop: Shop) -> Iterator[Network]:
    with contextlib.closing(Network(shop.server.port)) as network:
        yield network


@pytest.fixture
def rooms(shop: Shop, tmp_path: Path, network: Network) -> Iterator[list[Room]]:
    with contextlib.closing(CentralLink(shop.admin)) as link:
        add_workshop(link, "alder")
        places = [shop.as_login(*add_member(link, "alder", name)) for name in ("bay1", "bay3")]
    rooms = [Room(tmp_path, place, place.login.split(".")[1], network) for place in places]
    yield rooms
    for room in rooms:
        room.line.close()


def test_a_paused_job_is_gone_on_with_in_another_bay(
    rooms: list[Room],
    procedures: Path,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one, three = rooms
    monkeypatch.setenv("ASSISTANT_HOME", str(one.folder))
    day(one.folder, HERE, procedures, one.settings)
    with open_journal(one.folder, bay="bay1") as journal:
        (info,) = journal.scan()
        with contextlib.closing(journal.hold(info.id, info.last_at_ms)) as job:
            photo = taken(one.folder, job, picture(), info.last_at_ms)
    one.line.start()
    with contextlib.closing(CentralLink(one.place)) as link:
        until(lambda: info.id in photos_there(link, [info.id]), "the photo in the store", 30)
    three.line.start()
    until(lambda: three.line.elsewhere, "the job of the other bay", 30)
    monkeypatch.setenv("ASSISTANT_HOME", str(three.folder))
    played = day(
        three.folder, ["jobs", "resume", "yes", "carry on", "where am i"], procedures, three.settings, line=three.line
    )
    assert played.said(1) == "One job. One: Side cover of the practice gearbox, paused, in bay one."
    assert played.said(3) == "Preparation. Paused. Say carry on when you are ready."
    with open_journal(one.folder, read_only=True) as journal:
        (info,) = journal.scan()
        before = journal.read(info.id).entries
    with open_journal(three.folder, read_only=True) as journal:
        after = journal.read(info.id)
    assert after.entries[: len(before)] == before
    assert len(after.entries) > len(before)
    assert after.verdict.good
    assert any("has moved to the bay bay3" in sentence for sentence in one.told)
    assert photos_of(three.folder, info.id).data(photo) == picture()


def test_without_the_network_a_job_stays_where_it_is_and_that_is_said(
    rooms: list[Room],
    procedures: Path,  # noqa: F811
    network: Network,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one, three = rooms
    monkeypatch.setenv("ASSISTANT_HOME", str(one.folder))
    day(one.folder, HERE, procedures, one.settings)
    one.line.start()
    three.line.start()
    until(lambda: three.line.elsewhere, "the job of the other bay", 30)
    network.cut()
    monkeypatch.setenv("ASSISTANT_HOME", str(three.folder))
    played = day(three.folder, ["jobs", "resume", "yes"], procedures, three.settings, line=three.line)
    assert played.said(3) == "Side cover of the practice gearbox cannot be brought here now. The screen says why."
    assert any("cannot be reached; the bay goes on" in note for note in played.notes)
    with open_journal(three.folder, read_only=True) as journal:
        assert list(journal.scan()) == []
