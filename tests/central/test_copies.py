"""Forgetting a person reaches every copy of a job: the rows of the store, its files, and the bays that have it."""

import contextlib

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.journal.chain import Head, link
from assistant.journal.forms import forgotten, forms
from assistant.journal.personal import seal
from assistant.journal.postgres.rows import CentralRows
from assistant.workshop.forgetting import forgotten_jobs, sweep
from assistant.workshop.members import add_member
from tests.central.test_workshop_commands import Office
from tests.jobs import bare, note

NOON = 1_790_000_000_000
JOB = "bay1-2026-09-21-1"
WORDS = "zinnober quatsch"
"""No text of the program has these words."""


@pytest.fixture
def bays(shop, admin):
    with contextlib.ExitStack() as stack:
        yield [
            stack.enter_context(contextlib.closing(CentralLink(shop.as_login(*add_member(admin, "alder", bay)))))
            for bay in ("bay1", "bay2", "bay3")
        ]


def send(bay, head, *facts):
    sealed, kept = seal(forms(facts, head.seq + 1), head.seq + 1)
    new = link(JOB, head, sealed, NOON)
    assert CentralRows(bay).receive(JOB, "bay1", new, kept)[1] == ""
    return Head(new[-1].seq, new[-1].hash)


def forget(bay, head):
    return send(bay, head, forgotten(1))


def in_files(shop, admin, words=WORDS):
    """Return the files of the database in which ``words`` stand, as whoever reads the disk would find them."""
    admin.ask("CHECKPOINT")
    (oid,) = admin.one("SELECT oid FROM pg_database WHERE datname = current_database()")
    folder = shop.server.folder / "data" / "base" / str(oid)
    return [path.name for path in folder.iterdir() if words.encode() in path.read_bytes()]


def test_what_was_forgotten_is_in_no_file_of_the_store_once_its_tables_are_written_anew(shop, admin, bays):
    head = send(bays[0], Head(), bare("Practice", operator="Kim Example"), note(WORDS), note(f"{WORDS} {'x' * 9000}"))
    assert in_files(shop, admin), "it is looked in the right place"
    admin.ask("ANALYZE")
    forget(bays[0], head)
    assert admin.ask("SELECT count(*) FROM shop.personal") == [(0,)]
    assert in_files(shop, admin), "PostgreSQL keeps the bytes of a removed row"
    (before,) = forgotten_jobs(admin, "alder")
    assert (before.swept_at, before.everywhere) == (None, False)
    assert sweep(admin, 30) == [("alder", JOB)]
    assert in_files(shop, admin) == []
    assert [words for words in ("zinnober", "quatsch", "Kim Example") if in_files(shop, admin, words)] == []
    (after,) = forgotten_jobs(admin, "alder", JOB)
    assert after.everywhere
    assert after.swept_at > after.gone_at
    assert sweep(admin, 0) == [], "nothing is left to do"


def test_nothing_is_written_anew_while_somebody_reads_what_was_there_before(shop, admin, bays):
    head = send(bays[0], Head(), bare("Practice"), note(WORDS))
    with bays[2].transaction():
        bays[2].ask("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        assert bays[2].ask("SELECT count(*) FROM shop.personal") == [(1,)]
        forget(bays[0], head)
        with pytest.raises(CentralFault, match=r"still reads what was there before \(alder.bay3 since"):
            sweep(admin, 0)
        assert forgotten_jobs(admin, "alder")[0].swept_at is None
    assert sweep(admin, 30) == [("alder", JOB)]
    assert in_files(shop, admin) == []


def test_each_bay_that_has_a_copy_is_asked_and_confirms_it(admin, bays):
    first, second, third = bays
    head = send(first, Head(), bare("Practice"), note(WORDS))
    second.ask("SELECT shop.note_copy(%s)", (JOB,))
    third.ask("SELECT shop.note_copy(%s)", (JOB,))
    assert third.ask("SELECT * FROM shop.copies_to_forget()") == []
    third.ask("SELECT shop.copy_forgotten(%s)", (JOB,))
    first.ask("SELECT shop.give_job(%s)", (JOB,))
    forget(second, head)
    (told,) = forgotten_jobs(admin, "alder")
    assert told.by == "bay2"
    assert {one.bay: one.gone_at is not None for one in told.copies} == {"bay1": False, "bay2": True, "bay3": False}
    for bay in (first, third):
        assert bay.ask("SELECT * FROM shop.copies_to_forget()") == [(JOB,)]
        bay.ask("SELECT shop.copy_forgotten(%s)", (JOB,))
        assert bay.ask("SELECT * FROM shop.copies_to_forget()") == []
    sweep(admin, 30)
    (told,) = forgotten_jobs(admin, "alder")
    assert told.everywhere
    confirmed = {one.bay: one.gone_at for one in told.copies}
    first.ask("SELECT shop.copy_forgotten(%s)", (JOB,))
    assert {one.bay: one.gone_at for one in forgotten_jobs(admin, "alder")[0].copies} == confirmed, "told once"
    third.ask("SELECT shop.note_copy(%s)", (JOB,))
    assert third.ask("SELECT * FROM shop.copies_to_forget()") == [(JOB,)], "fetched once more, it is asked again"


@pytest.mark.parametrize(
    "statement",
    ["DELETE FROM shop.copy", "UPDATE shop.copy SET gone_at = now()", "UPDATE shop.copy SET bay = 'bay9'",
     "TRUNCATE shop.copy", "DELETE FROM shop.swept", "UPDATE shop.swept SET at = now()"],
)  # fmt: skip
def test_what_was_confirmed_is_changed_by_nobody(admin, bays, statement):
    forget(bays[0], send(bays[0], Head(), bare("Practice"), note(WORDS)))
    sweep(admin, 30)
    with pytest.raises(CentralFault, match="may not do that"):
        bays[0].ask(statement)
    with pytest.raises(CentralFault, match="cannot be (changed|removed|changed or removed)"):
        admin.ask(statement)


def test_the_commands_show_it_and_do_it(shop, admin, bays, tmp_path):
    office = Office(shop.server, shop.name, tmp_path)
    assert "No job of alder was forgotten" in office.says("forgotten")
    head = send(bays[0], Head(), bare("Practice"), note(WORDS))
    assert f"Job {JOB} was not forgotten" in office.says("forgotten", "last")
    bays[1].ask("SELECT shop.note_copy(%s)", (JOB,))
    forget(bays[0], head)
    told = office.says("forgotten", code=11)
    assert f"Job {JOB}, forgotten by bay1: not gone everywhere yet" in told
    assert "the files of the store: not yet; run: assistant workshop vacuum" in told
    assert "bay2, which has it since" in told
    assert "not confirmed" in told
    assert f"Out of the files of the store: alder, job {JOB}" in office.says("vacuum")
    bays[1].ask("SELECT shop.copy_forgotten(%s)", (JOB,))
    assert "gone everywhere" in office.says("forgotten", JOB)
    assert "Nothing that was forgotten is left" in office.says("vacuum", "--wait", "0")
