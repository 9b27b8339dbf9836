"""Forgetting a job takes its photos from the store, from its files and from each bay, and that is proved."""

import contextlib

import pytest

from assistant.central.link import CentralLink
from assistant.cli.printing.sending import send_all
from assistant.facts.going import Closed, Paused
from assistant.journal.postgres.store import PostgresJournal
from assistant.terminal.exits import Exit
from assistant.workshop.copies import forget_copies
from assistant.workshop.forgetting import forgotten_jobs, sweep
from assistant.workshop.line import TOKEN
from assistant.workshop.members import add_member
from assistant.workshop.photo_store import photos_there, put_photo
from tests.central.photos import photos_of, picture, taken
from tests.central.test_copies import in_files
from tests.central.test_moving import NOON, bays, bring  # noqa: F401 (bays is a fixture)
from tests.central.test_workshop_commands import Office
from tests.jobs import note

MARK = b"zinnober in a photo " * 200
"""No file of the program, and no other picture, has these bytes; too many to be kept in the row itself."""


@pytest.fixture
def forgotten(bays):  # noqa: F811
    """A job with a photo that came from one bay to the other, where it was closed and then forgotten."""
    one, three = bays
    job, data = one.work(), picture() + MARK
    name = taken(one.folder, job, data, NOON + 2)
    job.append([Paused()], NOON + 3)
    one.round()
    bring(three, job.id, one)
    there = three.journal.hold(job.id, NOON + 9)
    there.append([note("the seal was new"), Closed()], NOON + 9)
    there.close()
    job.close()
    three.round()
    return job.id, name, data


def forget(bay, job):
    """Forget ``job`` in ``bay``, whose photos go behind the words: the program was killed between the two."""
    bay.journal.forget(job, NOON + 10)
    bay.round()


def test_the_photos_go_from_the_store_and_from_each_bay_and_each_bay_confirms_it(bays, forgotten, admin):  # noqa: F811
    one, three = bays
    job, name, data = forgotten
    assert all(photos_of(bay.folder, job).has(name) for bay in bays)
    forget(three, job)
    with contextlib.closing(CentralLink(three.place)) as link:
        assert photos_there(link, [job]) == {}
        assert put_photo(link, job, name, data) == "unnamed", "it does not come back from a copy"
        (before,) = forgotten_jobs(admin, "alder")
        assert {copy.bay: copy.gone_at for copy in before.copies} == {"bay1": None, "bay3": None}
        assert forget_copies(link, three.folder) == [job]
    with contextlib.closing(CentralLink(one.place)) as link:
        assert forget_copies(link, one.folder) == [job]
    assert not any(photos_of(bay.folder, job).folder.exists() for bay in bays)
    sweep(admin, 30)
    (after,) = forgotten_jobs(admin, "alder")
    assert (after.photos, after.everywhere) == (0, True)
    for bay in bays:
        came = bay.round().photos
        assert (came.sent, came.fetched, came.waiting, bay.told[1:]) == (0, 0, 0, [])
    assert not any(photos_of(bay.folder, job).folder.exists() for bay in bays), "nothing brings it back"


def test_no_file_of_the_store_has_a_photo_once_its_tables_are_written_anew(shop, bays, forgotten, admin):  # noqa: F811
    words = MARK[:60].decode()
    assert in_files(shop, admin, words), "it is looked in the right place"
    forget(bays[1], forgotten[0])
    assert in_files(shop, admin, words), "PostgreSQL keeps the bytes of a removed row"
    assert sweep(admin, 30) == [("alder", forgotten[0])]
    assert in_files(shop, admin, words) == []


def test_photos_that_cannot_be_removed_in_a_bay_are_not_confirmed(bays, forgotten, admin):  # noqa: F811
    one, three = bays
    job, name, _ = forgotten
    forget(three, job)
    store = photos_of(one.folder, job)
    elsewhere = one.folder / "elsewhere"
    store.folder.rename(elsewhere)
    store.folder.symlink_to(elsewhere)  # rmtree(3) follows no link: what it leads to stays
    with contextlib.closing(CentralLink(one.place)) as link:
        assert forget_copies(link, one.folder) == []
        store.folder.unlink()
        elsewhere.rename(store.folder)
        assert forget_copies(link, one.folder) == [job]
    assert not store.has(name)


def test_what_the_office_forgets_is_gone_there_at_once_and_in_each_bay_when_it_confirms(
    shop,
    bays,  # noqa: F811
    forgotten,
    admin,
):
    job, name, _ = forgotten
    login = add_member(admin, "alder", "desk", office=True)
    with contextlib.closing(PostgresJournal(shop.as_login(*login))) as office:
        office.forget(job, NOON + 10)
    (found,) = forgotten_jobs(admin, "alder")
    assert {one.bay for one in found.copies if one.gone_at} == {"desk"}
    for bay in bays:
        with contextlib.closing(CentralLink(bay.place)) as link:
            assert forget_copies(link, bay.folder) == [job]
        assert not photos_of(bay.folder, job).has(name)
    sweep(admin, 30)
    assert forgotten_jobs(admin, "alder")[0].everywhere


def test_the_command_says_that_a_photo_is_left_and_sending_by_hand_forgets(
    shop,
    bays,  # noqa: F811
    forgotten,
    admin,
    tmp_path,
    monkeypatch,
    capsys,
):
    three = bays[1]
    job, name, data = forgotten
    office = Office(shop.server, shop.name, tmp_path)
    forget(three, job)
    admin.ask("SET session_replication_role = replica")
    admin.ask(
        "INSERT INTO shop.photo SELECT workshop, month, name, %s, %s, 'bay1' FROM shop.job WHERE name = %s",
        (name, data, job),
    )
    assert "; 1 of its photos still there" in office.says("forgotten", code=11)
    admin.ask("DELETE FROM shop.photo")
    office.says("vacuum")
    for bay in bays:
        place = bay.place
        (bay.folder / TOKEN).touch(0o600)
        (bay.folder / TOKEN).write_text(place.token, "ascii")
        central = f"host=127.0.0.1 port={place.port} dbname={place.database} user={place.login}"
        (bay.folder / "settings.toml").write_text(f'bay = "{bay.name}"\ncentral = "{central}"\n', "utf-8")
        monkeypatch.setenv("ASSISTANT_HOME", str(bay.folder))
        assert send_all(follow=False) is Exit.OK
        assert "Nothing new was to be sent." in capsys.readouterr().out
        assert not photos_of(bay.folder, job).folder.exists()
    told = office.says("forgotten", job)
    assert "gone everywhere" in told
    assert "; no photo of it is there" in told
