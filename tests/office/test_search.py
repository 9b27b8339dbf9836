"""Searching what people wrote down in all bays, and that what is forgotten cannot be found any more."""

from __future__ import annotations

import contextlib
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts.correcting import FindingCorrected
from assistant.facts.extra import FindingKept, Severity
from assistant.facts.going import Closed
from assistant.journal.forms import forgotten
from assistant.workshop.members import add_member
from tests.display.wire import raw
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000


def found(workshop, words):
    """Return what the office finds: job, kind and key of each place."""
    with contextlib.closing(CentralLink(workshop.place)) as link:
        return [row[:2] for row in link.ask("SELECT job, kind FROM shop.search(%s, 50)", (words,))]


def written(journal, *facts, at_ms=NOON, **more):
    """Write a job down, and close it; return its name."""
    job = journal.create([bare("Cover of the pump", **more)], at_ms)
    with contextlib.closing(job):
        job.append([heard(), *facts], at_ms + 1000)
        job.append([closed()], at_ms + 2000)
    return job.id


def closed():
    import msgspec

    needed = {one.name: () for one in msgspec.structs.fields(Closed) if one.required}
    return Closed(**needed)


def finding(text):
    return FindingKept(work="finding-1", number=1, text=text, step="lid", severity=Severity.WATCH)


@pytest.fixture
def two(workshop):
    """A job of each of two bays."""
    return (
        written(workshop.bay("bay1"), note("the gaskets were leaking", "lid"), asset="Van 7", operator="Kim Example"),
        written(workshop.bay("bay2"), finding("a hairline crack in the housing"), at_ms=NOON + 5000, asset="Boat 2"),
    )


def test_words_are_found_in_english_and_as_they_are_written(workshop, two):
    first, second = two
    assert found(workshop, "gasket leaks") == [(first, "note")], "as English: gaskets were leaking"
    assert found(workshop, "hairline CRACK") == [(second, "finding")]
    assert found(workshop, "van") == [(first, "opened")]
    assert found(workshop, "were") == [(first, "note")], "a word that English passes over is found as it is written"
    assert found(workshop, "cover") == [(second, "job"), (first, "job")], "the newest is the first"
    assert found(workshop, '"were leaking"') == [(first, "note")]
    assert found(workshop, '"leaking gaskets"') == []
    assert found(workshop, "cover -bay2") == [(first, "job")]
    assert found(workshop, "crack or leaking") == [(second, "finding"), (first, "note")]
    assert found(workshop, second) == [(second, "job")]


def test_other_words_of_a_finding_are_found_as_well(workshop):
    again = FindingCorrected(work="finding-1", number=1, text="it is torn", step="lid", severity=Severity.WATCH)
    job = written(workshop.bay("bay1"), finding("a scratch"), again)
    assert found(workshop, "torn") == [(job, "finding_corrected")]
    assert found(workshop, "scratch") == [(job, "finding")], "the old ones stay where they were said"


def test_who_worked_is_not_searched(workshop, two):
    assert found(workshop, "kim") == []


def test_what_is_forgotten_is_found_no_more(workshop, two):
    first, _ = two
    workshop.bay("bay1").forget(first, NOON + 10_000)
    assert found(workshop, "gasket") == found(workshop, "van") == []
    assert found(workshop, "cover bay1") == [(first, "job")], "the title of the procedure is of no person"
    kept = workshop.admin.ask("SELECT found::text FROM shop.words WHERE job = %s", (first,))
    assert len(kept) == 1
    assert not any(word in kept[0][0] for word in ("gasket", "van", "kim"))


def test_forgetting_that_is_undone_keeps_what_can_be_found(workshop, two):
    first, _ = two
    bay = workshop.bay("bay1")
    job = bay.hold(first, NOON + 10_000)
    with pytest.raises(ZeroDivisionError), bay._rows.link.transaction():
        job.append([forgotten(2)], NOON + 10_000)
        assert bay._rows.link.ask("SELECT 1 FROM shop.personal WHERE job = %s", (first,)) == []
        raise ZeroDivisionError
    assert found(workshop, "gasket") == [(first, "note")]


def test_another_workshop_finds_nothing_of_it_and_a_bay_may_not_search(workshop, two, shop, tmp_path):
    from tests.office.conftest import Workshop

    with contextlib.closing(Workshop(shop, tmp_path, "birch")) as other:
        assert found(other, "gasket") == []
    bay = shop.as_login(*add_member(workshop.admin, "alder", "bay3"))
    with contextlib.closing(CentralLink(bay)) as link:
        with pytest.raises(CentralFault, match="may not do that"):
            link.ask("SELECT * FROM shop.search('gasket', 5)")
        with pytest.raises(CentralFault, match="may not do that"):
            link.ask("SELECT * FROM shop.words")


def test_a_note_that_no_index_can_hold_is_kept_all_the_same(workshop):
    bay = workshop.bay("bay1")
    long = " ".join(f"word{number}" for number in range(60_000))
    name = written(bay, note(long), note("a \\u0000 \0 b"), note("x" * 9000))
    assert bay.verify(name).good
    assert found(workshop, "word7") == [(name, "note")]


def test_whatever_is_typed_is_an_answer(workshop, two):
    with contextlib.closing(CentralLink(workshop.place)) as link:

        @settings(max_examples=150, suppress_health_check=list(HealthCheck))
        @given(st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=80))
        def answers(words):
            link.ask("SELECT * FROM shop.search(%s, 5)", (words,))

        answers()


def fetch(office, path):
    host = office.link.split("/")[2]
    return raw(office.link, f"GET {path} HTTP/1.1\r\nhost: {host}\r\n\r\n".encode(), 30)


def test_the_page_shows_job_bay_step_and_day_and_is_safe(workshop, two, serve):
    hostile = written(
        workshop.bay("bay2"), note('<script>alert(1)</script> & "quotes" \' wet', "lid"), at_ms=NOON + 9000
    )
    office = serve(workshop)
    page = fetch(office, "/search?q=gasket").body.decode()
    assert "1 place has “gasket” in it." in page
    assert all(word in page for word in (two[0], "bay1", "2026-09-21", "note", "lid"))
    assert "the <mark>gaskets</mark> were leaking" in page
    page = fetch(office, "/search?q=" + quote('<script> wet "')).body.decode()
    assert hostile in page
    assert "&lt;" in page
    assert "<script>alert" not in page
    for words in ("'", '"', "-", "!!!", "(((", ":*", "\\", "%00", "a%00b", "%ff%fe", "&|!", "<->", "or or or"):
        answer = fetch(office, "/search?q=" + (words if words.startswith("%") or "%" in words else quote(words)))
        assert answer.status == 200, words
    assert b"Nothing was written down" in fetch(office, "/search?q=unobtainable").body
