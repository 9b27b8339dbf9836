"""A bay's journal reaches the central store: whole, in order, once, whatever breaks; and the bay never waits."""

import contextlib
from dataclasses import replace

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts.going import Closed, Paused
from assistant.journal.opening import copy_journal
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.postgres.store import PostgresJournal
from assistant.journal.sqlite.store import SqliteJournal
from assistant.shipped import procedures_folder
from assistant.workshop.library_copy import FOLDER, LocalLibrary
from assistant.workshop.library_file import prepare_file
from assistant.workshop.library_store import put_in_library
from assistant.workshop.line import CentralLine
from assistant.workshop.members import add_member
from assistant.workshop.sending import AGAIN_S, MOST_ENTRIES_SENT, Sender, aside_sentence
from tests.central.cut import Network
from tests.devices.waiting import until
from tests.jobs import bare, heard, note
from tests.journal.disk import tamper

DEMO = procedures_folder() / "gearbox-side-cover.yaml"
NOON = 1_790_000_000_000


@pytest.fixture
def place(shop, admin):
    return shop.as_login(*add_member(admin, "alder", "bay1"))


@pytest.fixture
def journal(tmp_path):
    with contextlib.closing(SqliteJournal(tmp_path / "journal.sqlite")) as journal:
        yield journal


@pytest.fixture
def told():
    return []


@pytest.fixture
def sender(tmp_path, place, told):
    with contextlib.closing(Sender(tmp_path, place, told.append)) as sender:
        yield sender


@pytest.fixture
def office(shop, admin):
    """The store, as the office of the workshop reads it."""
    with contextlib.closing(PostgresJournal(shop.as_login(*add_member(admin, "alder", "desk", office=True)))) as office:
        yield office


def same(journal, office):
    """Return whether the store has what the bay has, entry by entry, and its chains hold."""
    jobs = [one.id for one in journal.scan()]
    assert sorted(one.id for one in office.scan()) == sorted(jobs)
    return all(office.read(job) == journal.read(job) and office.verify(job).good for job in jobs)


def work(journal, entries=3, title="Practice"):
    job = journal.create([bare(title, operator="Kim Example")], NOON)
    for at in range(entries):
        job.append([heard(), note(f"the {at}th washer was dry")], NOON + at)
    return job


def test_all_that_a_bay_wrote_down_is_in_the_store_with_names_and_notes(journal, sender, office):
    work(journal).append([Closed()], NOON + 9)
    work(journal, title="Another")
    sent = sender.round(0)
    assert (sent.sent, sent.waiting) == (8 + 7, 0)
    assert same(journal, office)
    assert [one.title for one in office.scan()] == ["Another", "Practice"]
    assert [entry.fact.text for _, entry in office.find([type(note("x"))])][:2] == [
        "the 0th washer was dry",
        "the 1th washer was dry",
    ]


def test_what_comes_behind_goes_on_where_it_was_and_nothing_new_sends_nothing(journal, sender, office):
    job = work(journal)
    sender.round(0)
    assert sender.round(1).sent == 0
    job.append([Paused()], NOON + 9)
    assert sender.round(2).sent == 1
    assert same(journal, office)


def test_a_long_journal_goes_in_pieces(journal, sender, office):
    work(journal).append([note("x" * 5000) for _ in range(2 * MOST_ENTRIES_SENT)], NOON + 9)
    assert sender.round(0).sent == 7 + 2 * MOST_ENTRIES_SENT
    assert same(journal, office)


def test_another_sender_of_the_same_journal_adds_nothing(journal, sender, office, tmp_path, place, admin):
    work(journal)
    sender.round(0)
    with contextlib.closing(Sender(tmp_path, place)) as again:
        assert again.round(0).sent == 0
    assert admin.one("SELECT count(*) FROM shop.entry") == (7,)
    assert admin.one("SELECT count(*) FROM shop.aside") == (0,)


def test_forgetting_reaches_the_store(journal, sender, office):
    job = work(journal)
    job.append([Closed()], NOON + 9)
    job.close()
    sender.round(0)
    assert journal.forget(job.id, NOON + 10) == 4
    sender.round(1)
    assert same(journal, office)
    assert [entry.fact.text for entry in office.read(job.id).entries if entry.kind == "note"] == ["[removed]"] * 3


def test_a_server_that_is_gone_costs_nothing_and_is_told_in_one_sentence(
    journal, tmp_path, place, office, sender, told
):
    network = Network(place.port)
    with contextlib.closing(network), contextlib.closing(Sender(tmp_path, replace(place, port=network.port))) as far:
        job = work(journal)
        far.round(0)
        network.cut()
        job.append([Paused()], NOON + 9)
        with pytest.raises(CentralFault, match="cannot be reached; the bay goes on") as fault:
            far.round(1)
        assert fault.value.gone
        with pytest.raises(CentralFault, match="cannot be reached"):
            far.round(2)
        network.mend()
        assert far.round(3).sent == 1
    assert same(journal, office)


def test_a_journal_that_was_worked_on_in_two_places_is_set_aside_and_told_once(
    journal, sender, office, admin, told, tmp_path
):
    work(journal).append([Paused()], NOON + 9)
    sender.round(0)
    copy = tmp_path / "copy"
    copy.mkdir()
    with contextlib.closing(SqliteJournal(copy / "journal.sqlite")) as other:
        job = work(other)
        job.append([heard()], NOON + 9)
        with contextlib.closing(Sender(copy, sender.place, told.append)) as second:
            assert second.round(0).waiting > 0
            job.append([heard()], NOON + 10)
            assert second.round(1).waiting > 0, "it is not sent again yet"
            assert admin.one("SELECT count(*) FROM shop.aside") == (1,)
            assert second.round(AGAIN_S + 1).waiting > 0
            assert admin.one("SELECT count(*) FROM shop.aside") == (2,), "what was there before is there once"
    (sentence,) = told
    assert (
        f"set entry 8 of job {job.id} and what follows aside: another entry with this number is here already"
        in sentence
    )
    assert same(journal, office)


def test_a_damaged_entry_is_set_aside_and_the_other_jobs_go_on(journal, sender, office, told, tmp_path):
    bad = work(journal)
    bad.append([Paused()], NOON + 9)
    tamper(
        tmp_path / "journal.sqlite",
        f"UPDATE entry SET at_ms = at_ms + 1 WHERE job = '{bad.id}' AND seq = 3",
    )
    good = work(journal)
    came_to = sender.round(0)
    assert (came_to.sent, came_to.waiting) == (2 + 7, 6)
    assert office.verify(good.id).good
    assert told == [
        f"The central store set entry 3 of job {bad.id} and what follows aside: it does not follow the one before "
        "it, or its hash is not its own: look with assistant verify in the bay. The bay goes on, and has all of it; "
        "the office sees it with assistant workshop aside."
    ]


def test_a_job_whose_month_was_put_away_is_set_aside_and_the_other_jobs_go_on(journal, sender, office, told, admin):
    old = work(journal)
    sender.round(0)
    admin.ask("ALTER TABLE shop.entry_alder DETACH PARTITION shop.entry_alder_2026_09")
    old.append([Paused()], NOON + 9)
    new = journal.create([bare("Practice")], NOON + 90 * 86_400_000)
    assert sender.round(1).sent == 1
    assert office.verify(new.id).good
    assert told == [aside_sentence(old.id, 7, "away")]


def test_the_line_sends_while_the_bay_works_and_its_last_words_too(journal, tmp_path, place, office, told):
    line = CentralLine(tmp_path, place, tell=told.append, on_failure=told.append)
    job = work(journal)
    line.start()
    until(lambda: line.reached, "the store", 30)
    job.append([Paused()], NOON + 9)
    line.close()
    assert same(journal, office)
    assert told == []


def test_the_line_tells_once_that_it_cannot_and_once_that_it_can_again(journal, tmp_path, place, office, told):
    network = Network(place.port)
    with contextlib.closing(network):
        line = CentralLine(tmp_path, replace(place, port=network.port), tell=told.append, on_failure=told.append)
        job = work(journal)
        line.start()
        until(lambda: line.reached, "the store", 30)
        network.cut()
        job.append([Paused()], NOON + 9)
        until(lambda: told, "a sentence", 30)
        network.mend()
        until(lambda: len(told) > 1, "another sentence", 60)
        line.close()
    assert "cannot be reached; the bay goes on, and it is tried again" in told[0]
    assert told[1:] == ["The central store is reached again."]
    assert same(journal, office)


def test_a_bay_whose_journal_was_put_back_gets_what_it_lost_before_it_names_a_new_job(
    journal, sender, office, told, tmp_path, place
):
    work(journal).append([Paused()], NOON + 9)
    sender.round(0)
    backup = tmp_path / "backup"
    backup.mkdir()
    copy_journal(tmp_path, backup / "journal.sqlite")
    work(journal, title="Lost with the disk").append([Closed()], NOON + 9)
    sender.round(1)
    with (
        contextlib.closing(SqliteJournal(backup / "journal.sqlite")) as back,
        contextlib.closing(Sender(backup, place, told.append)) as again,
    ):
        again.round(0)
        assert same(back, office)
        assert told == ["8 entries that this bay had lost were taken back from the central store."]
        assert work(back).id.endswith("-3"), "no name is given twice"
        assert again.round(1).waiting == 0


def test_a_new_computer_gets_the_journal_of_the_bay(journal, sender, office, told, tmp_path, place):
    work(journal).append([Closed()], NOON + 9)
    work(journal).append([Paused()], NOON + 9)
    sender.round(0)
    new = tmp_path / "new"
    with (
        contextlib.closing(SqliteJournal(new / "journal.sqlite")) as fresh,
        contextlib.closing(Sender(new, place, told.append)) as first,
    ):
        first.round(0)
        assert same(fresh, office)
        assert [(one.id, one.state) for one in fresh.scan()] == [(one.id, one.state) for one in journal.scan()]


def test_the_line_brings_what_was_published_into_the_bay(journal, tmp_path, place, shop, admin, told):
    with contextlib.closing(CentralLink(shop.as_login(*add_member(admin, "alder", "desk", office=True)))) as office:
        put_in_library(office, prepare_file(DEMO).files, (), "Kim Example")
    line = CentralLine(tmp_path, place, tell=told.append, on_failure=told.append)
    line.start()
    until(lambda: LocalLibrary(tmp_path / FOLDER).items, "the library", 30)
    line.close()
    assert told == []


def test_a_token_that_is_wrong_is_one_sentence(journal, tmp_path, place):
    work(journal)
    with (
        contextlib.closing(Sender(tmp_path, replace(place, token="wrong"))) as sender,
        pytest.raises(
            CentralFault, match="refuses the login alder.bay1 at .*; ask the office for a new token"
        ) as fault,
    ):
        sender.round(0)
    assert "wrong" not in str(fault.value)


def test_the_way_in_is_asked_for_where_a_job_ends(place, journal, sender):
    job = work(journal)
    sender.round(0)
    with contextlib.closing(CentralLink(place)) as link:
        assert CentralRows(link).end_of(job.id).seq == 7
