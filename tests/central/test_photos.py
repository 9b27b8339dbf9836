"""The photos of a job reach the store and go with the job: each whole or not at all, and no entry waits for one."""

import contextlib
import errno
import os
import signal
import subprocess
import sys
from dataclasses import replace
from hashlib import sha256

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts.going import Closed, Paused
from assistant.journal.opening import copy_journal
from assistant.journal.sqlite.store import SqliteJournal
from assistant.service.central import look_at_central
from assistant.settings import Settings
from assistant.workshop.line import TOKEN, CentralLine
from assistant.workshop.photo_facts import WAITS_FOR_PHOTOS_S, bring_photos
from assistant.workshop.photo_store import photos_there, put_photo, stored_photo
from assistant.workshop.photos import LOOKS_FOR_PHOTOS_S, MOST_PHOTO_BYTES_AT_ONCE, TAKES_NONE
from assistant.workshop.sending import Sender
from tests.central.cut import Network
from tests.central.photos import dropped, named, photos_of, picture, taken
from tests.central.test_moving import NOON, BayOf, bays, bring  # noqa: F401 (bays is a fixture)
from tests.devices.waiting import until
from tests.jobs import note
from tests.pictures.test_store import full_disk


@pytest.fixture
def link(bays):  # noqa: F811
    with contextlib.closing(CentralLink(bays[0].place)) as link:
        yield link


def modes(store):
    return {path.name: path.stat().st_mode & 0o777 for path in (store.folder, *store.folder.iterdir())}


def test_a_photo_is_in_the_store_behind_its_entry_and_sent_once(bays, link, admin):  # noqa: F811
    one, _ = bays
    job, data = one.work(), picture()
    name = taken(one.folder, job, data, NOON + 2)
    came = one.round()
    assert (came.sent, came.photos.sent, came.photos.waiting) == (5, 1, 0)
    assert stored_photo(link, job.id, name) == data
    assert one.round().photos.sent == 0
    with contextlib.closing(Sender(one.folder, one.place)) as again:
        assert again.round(0).photos.sent == 0
    assert put_photo(link, job.id, name, data) == "", "the same once more is harmless"
    assert admin.ask("SELECT workshop, job, sha256, sent_by FROM shop.photo") == [("alder", job.id, name, "bay1")]
    assert one.told == []


def test_many_photos_go_in_pieces_between_which_entries_have_their_turn(bays, link):  # noqa: F811
    one, _ = bays
    job = one.work()
    names = {taken(one.folder, job, picture(at, MOST_PHOTO_BYTES_AT_ONCE // 2), NOON + 2, at) for at in range(1, 6)}
    first = one.round()
    assert (first.sent, first.photos.more) == (13, True)
    assert 0 < first.photos.sent < 5
    job.append([note("meanwhile")], NOON + 3)
    second = one.round()
    assert second.sent == 1
    while one.round().photos.more:
        pass
    assert photos_there(link, [job.id]) == {job.id: names}


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda path: path.write_bytes(bytes(8_000_001)), "is longer than 8,000,000 bytes"),
        (lambda path: path.write_bytes(picture(7)), "is another file than was taken"),
        (lambda path: path.unlink(), "the central store has no such file yet"),
        (lambda path: (path.unlink(), path.symlink_to("/etc/hostname")), "is a link"),
    ],
    ids=["large", "another", "missing", "link"],
)
def test_a_file_that_cannot_be_sent_is_one_sentence_and_holds_nothing_up(bays, link, spoil, sentence):  # noqa: F811
    one, _ = bays
    job = one.work()
    bad, good = (taken(one.folder, job, picture(number), NOON + 2, number) for number in (1, 2))
    spoil(photos_of(one.folder, job).path(bad))
    came = one.round()
    assert (came.sent, came.photos.sent, came.photos.waiting) == (7, 1, 1)
    assert photos_there(link, [job.id]) == {job.id: {good}}
    job.append([note("the work goes on")], NOON + 3)
    assert one.round().sent == 1
    assert len(one.told) == 1, "told once"
    assert sentence in one.told[0]
    assert f"Photo 1 of job {job.id} " in one.told[0]


def test_what_is_no_photo_is_not_taken_by_the_store_and_that_is_one_sentence(bays, link):  # noqa: F811
    one, _ = bays
    job = one.work()
    taken(one.folder, job, b"no picture at all", NOON + 2)
    assert one.round().photos.waiting == 1
    assert one.told == [f"Photo 1 of job {job.id} is not taken by the central store: it is no JPEG."]
    assert photos_there(link, [job.id]) == {}


def test_the_store_takes_what_an_entry_names_and_nothing_else(bays, link):  # noqa: F811
    one, _ = bays
    job = one.work()
    data = picture()
    job.append(named(data), NOON + 2)
    one.round()
    name = sha256(data).hexdigest()
    assert put_photo(link, job.id, sha256(picture(2)).hexdigest(), picture(2)) == "unnamed"
    assert put_photo(link, job.id, name, picture(2)) == "hash"
    assert put_photo(link, job.id, name, b"") == "large"
    assert put_photo(link, job.id, name, bytes(8_000_001)) == "large"
    assert put_photo(link, "bay1-2026-09-21-9", name, data) == "away"
    assert photos_there(link, [job.id]) == {}
    assert put_photo(link, job.id, name, data) == ""


@pytest.mark.parametrize(
    "statement",
    ["DELETE FROM shop.photo", "UPDATE shop.photo SET content = '\\xffd8'", "TRUNCATE shop.photo",
     "UPDATE shop.photo SET job = 'bay1-2026-09-21-9'",
     "INSERT INTO shop.photo SELECT workshop, month, job, 'x', content, sent_by FROM shop.photo"],
)  # fmt: skip
def test_nobody_changes_or_removes_a_photo_that_counts(bays, link, admin, statement):  # noqa: F811
    one, _ = bays
    taken(one.folder, one.work(), picture(), NOON + 2)
    one.round()
    with pytest.raises(CentralFault, match="may not do that"):
        link.ask(statement)
    with pytest.raises(CentralFault, match="cannot be changed|can only be removed by|no entry names that photo"):
        admin.ask(statement)


def test_a_photo_of_another_workshop_cannot_be_read_or_sent(bays, shop, admin):  # noqa: F811
    from assistant.workshop.members import add_member, add_workshop

    one, _ = bays
    job, data = one.work(), picture()
    name = taken(one.folder, job, data, NOON + 2)
    one.round()
    add_workshop(admin, "birch")
    for office in (True, False):
        login = add_member(admin, "birch", "desk" if office else "bay1", office=office)
        with contextlib.closing(CentralLink(shop.as_login(*login))) as other:
            assert stored_photo(other, job.id, name) is None
            assert other.ask("SELECT * FROM shop.photo") == []
            with pytest.raises(CentralFault, match="may not do that"):
                other.ask("SELECT * FROM shop.photo_alder")
            if office:
                with pytest.raises(CentralFault, match="may not do that"):
                    put_photo(other, job.id, name, data)
            else:
                assert put_photo(other, job.id, name, data) == "away"


def test_bytes_that_changed_in_the_store_are_no_photo(bays, link, admin):  # noqa: F811
    one, _ = bays
    job = one.work()
    name = taken(one.folder, job, picture(), NOON + 2)
    one.round()
    admin.ask("SET session_replication_role = replica")
    admin.ask("ALTER TABLE shop.photo DROP CONSTRAINT photo_hash")
    admin.ask("UPDATE shop.photo SET content = %s", (picture(2),))
    assert stored_photo(link, job.id, name) is None


def test_a_photo_that_was_removed_by_word_goes_from_the_store(bays, link, admin):  # noqa: F811
    one, _ = bays
    job = one.work()
    first, second = (taken(one.folder, job, picture(number), NOON + 2, number) for number in (1, 2))
    one.round()
    dropped(one.folder, job, first, NOON + 3)
    one.round()
    assert photos_there(link, [job.id]) == {job.id: {second}}
    assert taken(one.folder, job, picture(1), NOON + 4, 3) == first
    one.round()
    assert photos_there(link, [job.id]) == {job.id: {first, second}}, "taken once more, it counts again"
    dropped(one.folder, job, second, NOON + 5, 2)
    assert put_photo(link, job.id, second, picture(2)) == "", "the store does not know of that yet"
    one.round()
    assert photos_there(link, [job.id]) == {job.id: {first}}
    assert one.told == []


def test_the_photos_come_along_with_a_job_private_and_whole(bays):  # noqa: F811
    one, three = bays
    job = one.work()
    data = [picture(number) for number in (1, 2)]
    names = [taken(one.folder, job, one_of, NOON + 2, at) for at, one_of in enumerate(data, 1)]
    job.append([Paused()], NOON + 3)
    one.round()
    assert bring(three, job.id, one) == job.id
    store = photos_of(three.folder, job)
    assert [store.data(name) for name in names] == data
    assert modes(store) == {job.id: 0o700, **{f"{name}.jpg": 0o600 for name in names}}
    assert three.round().photos.waiting == 0
    assert (one.round().photos.waiting, three.told) == (0, [])


def test_a_photo_that_was_not_sent_yet_is_told_once_and_comes_later(bays):  # noqa: F811
    one, three = bays
    job, data = one.work(), picture()
    name = taken(one.folder, job, data, NOON + 2)
    job.append([Paused()], NOON + 3)
    aside = one.folder / "aside"
    photos_of(one.folder, job).path(name).rename(aside)
    one.round()
    bring(three, job.id, one)
    assert three.round().photos.waiting == 1
    three.round()
    assert three.told == [
        f"Photo 1 of job {job.id} is not here, and the central store has no such file yet; what is missing comes by "
        "itself once the bay that has it has sent it."
    ]
    aside.rename(photos_of(one.folder, job).path(name))
    with contextlib.closing(Sender(one.folder, one.place)) as anew:
        assert anew.round(0).photos.sent == 1, "also by a bay that has the job no more"
    three.now += LOOKS_FOR_PHOTOS_S
    assert three.round().photos.fetched == 1
    assert photos_of(three.folder, job).data(name) == data
    assert len(three.told) == 1


def test_what_does_not_come_in_time_comes_while_the_job_goes_on(bays):  # noqa: F811
    one, three = bays
    job = one.work()
    names = [taken(one.folder, job, picture(number), NOON + 2, number) for number in (1, 2, 3)]
    job.append([Paused()], NOON + 3)
    one.round()
    bring(three, job.id, one)
    store = photos_of(three.folder, job)
    store.forget()
    moments = iter((0.0, 0.0, WAITS_FOR_PHOTOS_S + 1, WAITS_FOR_PHOTOS_S + 1))
    with contextlib.closing(CentralLink(three.place)) as link:
        bring_photos(link, three.folder, job.id, lambda: next(moments))
    assert sum(map(store.has, names)) == 1
    three.round()
    assert all(map(store.has, names))


def test_the_line_of_a_bay_sends_a_photo_by_itself(bays, link):  # noqa: F811
    one, _ = bays
    job = one.work()
    line = CentralLine(one.folder, one.place, tell=one.told.append, on_failure=one.told.append)
    line.start()
    until(lambda: line.reached, "the store", 30)
    name = taken(one.folder, job, picture(), NOON + 2)
    until(lambda: photos_there(link, [job.id]) == {job.id: {name}}, "the photo", 30)
    line.close()
    assert one.told == []


def test_a_bay_that_lost_everything_gets_its_photos_back_with_its_journal(bays, tmp_path):  # noqa: F811
    one, _ = bays
    closed, data = one.work(), picture()
    name = taken(one.folder, closed, data, NOON + 2)
    closed.append([Closed()], NOON + 3)
    closed.close()
    one.round()
    new = tmp_path / "new"
    new.mkdir()
    with (
        contextlib.closing(SqliteJournal(new / "journal.sqlite")),
        contextlib.closing(Sender(new, one.place)) as first,
    ):
        assert first.round(0).photos.fetched == 1
    assert photos_of(new, closed).data(name) == data
    copy = tmp_path / "copy"
    copy.mkdir()
    copy_journal(one.folder, copy / "journal.sqlite")
    with contextlib.closing(Sender(copy, one.place)) as second:
        assert second.round(0).photos.fetched == 1, "also where the journal alone was put back"


def test_a_full_disk_in_the_bay_leaves_nothing_half_and_is_one_sentence(bays):  # noqa: F811
    one, three = bays
    job, data = one.work(), picture(beside=200_000)
    name = taken(one.folder, job, data, NOON + 2)
    job.append([Paused()], NOON + 3)
    one.round()
    bring_job_without(three, one, job)
    store = photos_of(three.folder, job)
    with full_disk(150_000):
        assert three.round().photos.waiting == 1
    assert list(store.folder.iterdir()) == []
    assert three.told == [
        f"Photo 1 of job {job.id} cannot be kept in this bay ({os.strerror(errno.EFBIG)}); make room on the disk."
    ]
    with contextlib.closing(Sender(three.folder, three.place)) as anew:
        assert anew.round(0).photos.fetched == 1
    assert store.data(name) == data


def bring_job_without(to, by, job):
    """Bring ``job`` without its photo, as where the link breaks behind its entries."""
    with full_disk(150_000):
        bring(to, job.id, by)


@pytest.mark.parametrize("way", ["sent", "fetched"])
def test_a_kill_in_the_middle_of_a_photo_leaves_nothing_half(bays, link, way):  # noqa: F811
    one, three = bays
    data = picture(beside=3_000_000)
    job = one.work()
    name = taken(one.folder, job, data, NOON + 2)
    job.append([Paused()], NOON + 3)
    bay = one
    if way == "fetched":
        one.round()
        bring(three, job.id, one)
        photos_of(three.folder, job).forget()
        bay = three
    with contextlib.closing(Network(bay.place.port)) as network:
        network.stick_after(2_000_000)
        process = sending(bay, replace(bay.place, port=network.port))
        assert network.stuck.wait(60), "it is in the middle of the photo"
        process.send_signal(signal.SIGKILL)
        process.wait()
    store = photos_of(bay.folder, job)
    if way == "sent":
        assert photos_there(link, [job.id]) == {}
    else:
        assert not store.has(name)
    came = bay.round().photos
    assert (came.sent, came.fetched) == ((1, 0) if way == "sent" else (0, 1))
    assert stored_photo(link, job.id, name) == data
    assert store.data(name) == data
    assert store.wrong({name}) == ([], [], [])


def sending(bay, place):
    """Start ``assistant send`` for ``bay`` as a process of its own."""
    central = f"host=127.0.0.1 port={place.port} dbname={place.database} user={place.login}"
    (bay.folder / "settings.toml").write_text(f'bay = "{bay.name}"\ncentral = "{central}"\n', "utf-8")
    (bay.folder / TOKEN).touch(0o600)
    (bay.folder / TOKEN).write_text(place.token, "ascii")
    env = {**os.environ, "ASSISTANT_HOME": str(bay.folder)}
    return subprocess.Popen([sys.executable, "-m", "assistant", "send"], env=env)


def test_half_a_file_of_a_killed_program_is_no_hindrance(bays):  # noqa: F811
    one, three = bays
    job, data = one.work(), picture()
    name = taken(one.folder, job, data, NOON + 2)
    job.append([Paused()], NOON + 3)
    one.round()
    store = photos_of(three.folder, job)
    store.folder.mkdir(parents=True)
    (store.folder / f".{name}.part").write_bytes(data[:100] + bytes(len(data)))
    bring(three, job.id, one)
    assert store.data(name) == data
    assert store.wrong({name}) == ([], [], [])


def test_the_doctor_tells_of_photos_beside_the_entries(bays, monkeypatch):  # noqa: F811
    one, _ = bays
    job = one.work()
    names = [taken(one.folder, job, picture(number), NOON + 2, number) for number in (1, 2)]
    monkeypatch.setenv("ASSISTANT_HOME", str(one.folder))
    (one.folder / TOKEN).touch(0o600)
    (one.folder / TOKEN).write_text(one.place.token, "ascii")
    where = f"host=127.0.0.1 port={one.place.port} dbname={one.place.database} user={one.place.login}"
    settings = Settings(central=where)
    assert look_at_central(settings).found == (
        "7 entries were not sent yet and 2 photos were not sent or fetched yet; a bay at work does so, and so does: "
        "assistant send"
    )
    one.round()
    assert look_at_central(settings).found.endswith("has all of the journal and its photos")
    photos_of(one.folder, job).drop(names[0])
    assert look_at_central(settings).found.startswith("1 photo was not sent or fetched yet; ")


def test_a_store_of_before_takes_the_entries_and_one_sentence_says_what_to_do(bays, admin):  # noqa: F811
    one, _ = bays
    admin.ask("DROP FUNCTION shop.receive_photo")
    taken(one.folder, one.work(), picture(), NOON + 2)
    came = one.round()
    assert (came.sent, came.photos.waiting) == (5, 1)
    one.round()
    assert one.told == [TAKES_NONE]
