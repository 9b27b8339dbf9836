"""What the central store takes from a bay: each entry once, in order, with a chain that fits; all else is set aside."""

import contextlib
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.journal.canonical import canonical
from assistant.journal.chain import Head, Stored, chain_hash, link
from assistant.journal.forms import EntryForm, forms
from assistant.journal.personal import Kept, seal
from assistant.journal.postgres.rows import CentralRows
from assistant.workshop.members import add_member, add_workshop, end_member
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000
JOB = "bay1-2026-09-21-1"


def chained(facts, head=None, job=JOB, at_ms=NOON):
    """Return ``facts`` as a bay's journal holds them, and what was said in them."""
    head = head or Head()
    sealed, kept = seal(forms(facts, head.seq + 1), head.seq + 1)
    return link(job, head, sealed, at_ms), kept


@pytest.fixture
def admin(shop):
    with contextlib.closing(CentralLink(shop.admin)) as link:
        add_workshop(link, "alder")
        add_workshop(link, "birch")
        yield link


@pytest.fixture
def login(shop, admin):
    """Make the link of a bay."""
    with contextlib.ExitStack() as stack:

        def login(bay="bay1", workshop="alder", *, office=False):
            place = shop.as_login(*add_member(admin, workshop, bay, office=office))
            return stack.enter_context(contextlib.closing(CentralLink(place)))

        yield login


@pytest.fixture
def bay(login):
    return login()


@pytest.fixture
def sent(bay):
    """Three entries, with a name and a note in them, which the store has."""
    stored, kept = chained([bare("Practice", operator="Kim Example"), heard(), note("the seal was dry")])
    assert CentralRows(bay).receive(JOB, "bay1", stored, kept) == (3, "", 0)
    return stored, kept


def aside(link):
    return link.ask("SELECT job, seq, why FROM shop.aside ORDER BY id")


text = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=40)


def test_the_store_takes_the_same_hash_as_the_journal_does(admin):
    @given(text, text, text, st.integers(1, 9), st.integers(0, 2**53 - 1))
    def takes(job, kind, data, seq, at_ms):
        parts = (job, seq, at_ms, kind, 1, 0, canonical({"a": data}), "0" * 64)
        theirs = admin.one("SELECT encode(shop.chain_hash(%s, %s, %s, %s, %s, %s, %s, %s), 'hex')", parts)
        assert theirs == (chain_hash(*parts),)

    takes()


def test_what_is_sent_is_there_whole_and_what_is_sent_twice_is_there_once(bay, sent):
    stored, kept = sent
    assert CentralRows(bay).receive(JOB, "bay1", stored, kept) == (3, "", 0)
    found = CentralRows(bay).kept_of(JOB)
    assert (found.rows, sorted(found.said, key=lambda one: (one.seq, one.key)), found.end) == (
        stored,
        sorted(kept, key=lambda one: (one.seq, one.key)),
        (3, stored[-1].hash),
    )
    assert aside(bay) == []


def test_what_overlaps_goes_on_where_it_was(bay, sent):
    stored, kept = sent
    more, said = chained([heard(), heard()], Head(3, stored[-1].hash))
    assert CentralRows(bay).receive(JOB, "bay1", [*stored[1:], *more], [*kept, *said]) == (5, "", 0)
    assert CentralRows(bay).end_of(JOB) == Head(5, more[-1].hash)


def test_a_gap_is_told_and_nothing_is_set_aside(bay, sent):
    stored, _ = sent
    more, said = chained([heard(), heard()], Head(3, stored[-1].hash))
    assert CentralRows(bay).receive(JOB, "bay1", more[1:], said) == (3, "gap", 0)
    assert CentralRows(bay).receive("bay1-2026-09-21-2", "bay1", more, said) == (0, "gap", 0)
    assert aside(bay) == []


def spoilt(stored, **fields):
    return [stored[0], replace(stored[1], **fields), *stored[2:]]


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"data": '{"text":"another"}'}, "chain"),
        ({"hash": "0" * 64}, "chain"),
        ({"prev": "1" * 64}, "chain"),
        ({"kind": "next_year"}, "chain"),
        ({"data": "no mapping"}, "form"),
        ({"data": "[1]"}, "form"),
        ({"version": 0}, "form"),
        ({"cause": 7}, "form"),
        ({"at_ms": -1}, "form"),
        ({"kind": ""}, "form"),
        ({"data": '{"text":"' + 10_000_000 * "x" + '"}'}, "large"),
    ],
)
def test_what_does_not_fit_is_set_aside_with_all_behind_it_and_what_fits_is_kept(bay, fields, why):
    stored, kept = chained([bare("Practice"), heard(), heard(), heard()])
    assert CentralRows(bay).receive(JOB, "bay1", spoilt(stored, **fields), kept) == (1, why, 2)
    assert aside(bay) == [(JOB, 2, why), (JOB, 3, why), (JOB, 4, why)]
    assert CentralRows(bay).receive(JOB, "bay1", stored, kept) == (4, "", 0), "once it is mended it is taken"


@pytest.mark.parametrize(("kind", "version"), [("next_year", 1), ("heard", 99)])
def test_entries_of_a_newer_version_wait_aside_until_the_store_knows_them(bay, admin, kind, version):
    first, _ = chained([bare("Practice")])
    new = link(JOB, Head(1, first[0].hash), [EntryForm(kind, version, 0, {"a": 1})], NOON)
    assert CentralRows(bay).receive(JOB, "bay1", [*first, *new], []) == (1, "newer", 2)
    (kept,) = bay.ask("SELECT entry FROM shop.aside")[0]
    assert (kept["kind"], kept["version"], json.loads(kept["data"])) == (kind, version, {"a": 1})
    admin.ask(
        "INSERT INTO shop.known_kind VALUES (%(kind)s, %(version)s, false)"
        " ON CONFLICT (kind) DO UPDATE SET version = excluded.version",
        {"kind": kind, "version": version},
    )
    assert CentralRows(bay).receive(JOB, "bay1", new, []) == (2, "", 0)


def test_another_history_of_a_job_never_takes_the_place_of_the_first(bay, sent):
    other, said = chained([bare("Practice"), note("another")])
    assert CentralRows(bay).receive(JOB, "bay1", other, said)[:2] == (3, "fork")
    assert CentralRows(bay).kept_of(JOB).rows == sent[0]


def test_what_was_said_must_be_what_was_sealed(bay):
    stored, kept = chained([bare("Practice"), note("the seal was dry"), heard()])
    wrong = [replace(one, value='"another"') for one in kept]
    assert CentralRows(bay).receive(JOB, "bay1", stored, wrong) == (1, "said", 2)
    assert CentralRows(bay).receive(JOB, "bay1", stored, kept) == (3, "", 0)
    extra = [Kept(4, "text", "0" * 32, '"more"')]
    more, _ = chained([heard()], Head(3, stored[-1].hash))
    assert CentralRows(bay).receive(JOB, "bay1", more, extra) == (3, "said", 4)


def test_a_bay_opens_its_own_jobs_only(login, bay):
    stored, kept = chained([bare("Practice")])
    other = login("bay2")
    for opened_in in ("bay1", "bay2"):
        assert CentralRows(other).receive(JOB, opened_in, stored, kept) == (0, "bay", 1)
    assert CentralRows(bay).receive(JOB, "bay1", stored, kept) == (1, "", 0)


def test_nothing_is_seen_of_another_workshop(login, sent):
    stored, kept = sent
    stranger = login("bay1", "birch")
    assert CentralRows(stranger).job_names() == []
    for table in ("entry", "personal", "job", "aside", "lease"):
        assert stranger.ask(f"SELECT * FROM shop.{table}") == []
    assert CentralRows(stranger).receive(JOB, "bay1", stored, kept) == (3, "", 0), "the same name there is another job"
    assert [row[0] for row in stranger.ask("SELECT DISTINCT workshop FROM shop.entry")] == ["birch"]


WRITES = [
    "INSERT INTO shop.aside (workshop, sent_by, job, seq, hash, why) VALUES ('alder', 'bay1', 'x', 1, '', 'x')",
    "UPDATE shop.entry SET data = '{}'",
    "DELETE FROM shop.entry",
    "TRUNCATE shop.entry",
    "UPDATE shop.job SET title = 'x'",
    "DELETE FROM shop.job",
    "DELETE FROM shop.personal",
    "DELETE FROM shop.aside",
    "UPDATE shop.member SET workshop = 'birch'",
    "DELETE FROM shop.lease",
    "INSERT INTO shop.known_kind VALUES ('x', 1, false)",
    "SELECT shop.add_login('x', 'alder', 'bay', 'x', 'x')",
]


@pytest.mark.parametrize("statement", WRITES)
@pytest.mark.parametrize("office", [False, True])
def test_no_login_can_write_but_by_the_one_way_in(login, sent, statement, office):
    with pytest.raises(CentralFault, match="may not do that"):
        login("desk" if office else "bay1", office=office).ask(statement)


@pytest.mark.parametrize("statement", [one for one in WRITES[1:8] if "known" not in one and "title" not in one])
def test_even_the_administrator_is_refused_by_the_guards(admin, bay, sent, statement):
    assert CentralRows(bay).receive(JOB, "bay1", *chained([bare("Another")]))[1] == "fork"
    with pytest.raises(
        CentralFault, match="refuses that: .* cannot be (changed|removed|changed or removed)|only be removed"
    ):
        admin.ask(statement)


def test_an_entry_between_others_is_refused_to_the_administrator_too(admin, sent):
    with pytest.raises(CentralFault, match="must follow the last one"):
        admin.ask(
            "INSERT INTO shop.entry SELECT workshop, month, job, 9, at_ms, kind, version, cause, data, prev, hash,"
            " sent_by FROM shop.entry WHERE seq = 3"
        )


def test_a_login_that_ended_is_refused_and_its_entries_stay(shop, admin, bay, sent):
    end_member(admin, "alder", "bay1")
    with pytest.raises(CentralFault):
        bay.ask("SELECT 1")
    assert admin.ask("SELECT count(*) FROM shop.entry") == [(3,)]
    with pytest.raises(CentralFault, match='no bay "bay9"'):
        end_member(admin, "alder", "bay9")


def test_a_login_that_is_no_member_may_do_nothing(shop, admin):
    admin.ask("CREATE ROLE stranger LOGIN PASSWORD 'word' IN ROLE shop_bay")
    try:
        with contextlib.closing(CentralLink(shop.as_login("stranger", "word"))) as link:
            with pytest.raises(CentralFault, match="does not know the login stranger"):
                CentralRows(link).receive(JOB, "bay1", *chained([bare("Practice")]))
            assert link.ask("SELECT * FROM shop.job") == []
    finally:
        admin.ask("DROP ROLE stranger")


def test_what_was_said_goes_when_the_job_is_forgotten(bay, sent):
    stored, _ = sent
    more, said = chained([note("after that")], Head(3, stored[-1].hash))
    end = link(JOB, Head(4, more[-1].hash), [EntryForm("forgotten", 1, 0, {"entries": 3})], NOON)
    assert CentralRows(bay).receive(JOB, "bay1", more, said) == (4, "", 0)
    assert CentralRows(bay).receive(JOB, "bay1", end, []) == (5, "", 0)
    found = CentralRows(bay).kept_of(JOB)
    assert (found.said, len(found.rows)) == ([], 5)
    assert CentralRows(bay).receive(JOB, "bay1", stored, sent[1]) == (5, "", 0), "sent again, it stays gone"
    assert CentralRows(bay).kept_of(JOB).said == []


def test_stored_is_what_the_store_gives_back_to_the_letter(bay):
    odd = {"text": '\u007f \u0001 \\ " / \u2028 \U0001f527 \u0000'}
    stored = link(JOB, Head(), [EntryForm("opened", 1, 0, {"title": "x", **odd})], NOON)
    assert CentralRows(bay).receive(JOB, "bay1", stored, []) == (1, "", 0)
    assert CentralRows(bay).kept_of(JOB).rows == stored
    assert isinstance(stored[0], Stored)
