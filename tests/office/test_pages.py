"""The pages of the office over two bays: live, verified, and honest when the store is away."""

from __future__ import annotations

import contextlib
import time

import pytest
from playwright.sync_api import expect

from assistant.central.place import CentralPlace
from tests.central.cut import Network
from tests.display.browser import PHONE, WALL
from tests.display.seen import accessible, letters
from tests.display.wire import ask, raw
from tests.jobs import SHORT, SHORTEST, heard, note, work

MACHINE = "Van 7 / <b>north</b>"


def fetch(office, path, seconds=60):
    host = office.link.split("/")[2]
    return raw(office.link, f"GET {path} HTTP/1.1\r\nhost: {host}\r\n\r\n".encode(), seconds)


def until(happens, seconds=20.0):
    """Wait until ``happens`` is true; it is asked again and again, since another thread brings it about."""
    end = time.monotonic() + seconds
    while not happens():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.02)


@pytest.fixture
def looks(browser):
    """Open a page of the office."""
    contexts = []

    def looks(office, size=WALL, path="jobs"):
        width, height = size
        contexts.append(browser.new_context(viewport={"width": width, "height": height}))
        page = contexts[-1].new_page()
        page.set_default_timeout(15_000)
        page.goto(office.link + path)
        return page

    yield looks
    for context in contexts:
        context.close()


@pytest.mark.timeout(180)
def test_jobs_of_two_bays_are_listed_newest_first_and_follow_without_a_reload(workshop, serve, looks):
    first = work(workshop.bay("bay1"), SHORTEST, asset=MACHINE, start_s=1_790_000_000.0)
    office = serve(workshop)
    page = looks(office)
    page.evaluate("window.isTheSamePage = true")
    expect(page.get_by_role("link", name=first, exact=True)).to_be_visible()
    second = work(workshop.bay("bay2"), SHORTEST, most=3, start_s=1_790_086_400.0)
    expect(page.get_by_role("link", name=second, exact=True)).to_be_visible()
    names = page.locator("tbody th").all_inner_texts()
    assert names == [second, first], "the newest is the first"
    assert page.locator("tbody td[data-name=Bay]").all_inner_texts() == ["bay2", "bay1"]
    with contextlib.closing(workshop.bay("bay2").hold(second, 1_790_086_900_000)) as job:
        count = len(job.append([heard("pause"), note("the gasket was wet")], 1_790_086_900_000))
    assert count == 2
    entries = page.locator("tbody tr").first.locator("td[data-name=Entries]")
    until(lambda: int(entries.inner_text()) == len(workshop.bay("bay2").follow(second, 0)))
    assert page.evaluate("window.isTheSamePage") is True
    for size in (PHONE, WALL):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert all(one.contrast >= 7.0 for one in letters(page))
    box = page.get_by_role("searchbox")
    box.fill("bay1")
    box.press("Enter")
    expect(page.get_by_role("status").filter(has_text="found")).to_have_text("1 of 2 found for “bay1”.")


@pytest.mark.timeout(180)
def test_due_machines_history_and_records_are_over_all_bays(workshop, serve):
    names = [
        work(workshop.bay("bay1"), SHORT, asset=MACHINE, customer="Order 12"),
        work(workshop.bay("bay2"), SHORT, asset=MACHINE.upper(), start_s=1_790_086_400.0),
    ]
    office = serve(workshop)
    due = fetch(office, "/due").body.decode()
    assert "New gasket for the coolant pump cover" in due
    assert f"job {names[1]}" in due, "the last closed job of the machine counts, whichever bay did it"
    assert f"job {names[0]}" not in due
    machines = fetch(office, "/machines").body.decode()
    assert machines.count("<tr") == 2, "one machine, whoever wrote its name how"
    history = fetch(office, "/machines?name=van%207%20/%20%3Cb%3Enorth%3C/b%3E").body.decode()
    assert all(name in history for name in names)
    assert "How long the steps took" in history
    assert "<b>north" not in history.lower(), "what people wrote is text"
    record = fetch(office, f"/jobs/{names[0]}")
    assert (record.status, b"Order 12" in record.body) == (200, True)
    assert fetch(office, f"/jobs/{names[0]}/record.pdf").body[:5] == b"%PDF-"
    assert fetch(office, "/jobs/bay9-2026-09-21-1").status == 404
    assert fetch(office, "/machines?name=nobody").status == 404


@pytest.mark.timeout(120)
def test_the_record_of_a_job_whose_chain_was_broken_says_so(workshop, serve):
    name = work(workshop.bay("bay1"), SHORTEST)
    workshop.admin.ask("SET session_replication_role = replica")
    workshop.admin.ask(
        "UPDATE shop.entry SET data = replace(data, 'Practice', 'Praktice'), at_ms = at_ms + 1 WHERE seq = 3"
    )
    record = fetch(serve(workshop), f"/jobs/{name}").body.decode()
    assert f"Entry 3 of job {name}" in record


@pytest.mark.timeout(120)
def test_what_is_forgotten_is_gone_from_the_lists_too(workshop, serve):
    bay = workshop.bay("bay1")
    name = work(bay, SHORTEST, asset=MACHINE, operator="Kim Example", customer="Order 12")
    office = serve(workshop)
    path = "/machines?name=van%207%20/%20%3Cb%3Enorth%3C/b%3E"
    assert b"Kim Example" in fetch(office, path).body
    seen = office.watch.shown.version
    bay.forget(name, 1_790_200_000_000)
    until(lambda: office.watch.shown.version > seen)
    assert fetch(office, path).status == 404
    assert not any(
        word in fetch(office, page).body for page in ("/jobs", "/machines", "/due") for word in (b"Kim", b"north")
    )


@pytest.mark.timeout(120)
def test_without_the_store_the_pages_show_what_is_known_and_say_so_and_follow_again(workshop, serve, looks):
    name = work(workshop.bay("bay1"), SHORTEST)
    with contextlib.closing(Network(workshop.place.port)) as cut:
        address = workshop.address.replace(f"port={workshop.place.port}", f"port={cut.port}")
        office = serve(workshop, address=address)
        page = looks(office)
        expect(page.get_by_role("link", name=name, exact=True)).to_be_visible()
        cut.cut()
        trouble = page.locator("#trouble")
        expect(trouble).to_contain_text("is not reachable; what you see was true at")
        assert trouble.inner_text().count(". ") == 1
        expect(page.get_by_role("link", name=name, exact=True)).to_be_visible()
        answer = ask(office.link, "/jobs", seconds=60)
        assert (answer.status, name.encode() in answer.body) == (200, True)
        later = work(workshop.bay("bay2"), SHORTEST, most=2, start_s=1_790_086_400.0)
        cut.mend()
        expect(page.get_by_role("link", name=later, exact=True)).to_be_visible()
        expect(trouble).to_be_empty()


@pytest.mark.timeout(120)
def test_an_office_sees_its_own_workshop_alone(workshop, serve, shop, tmp_path):
    from tests.office.conftest import Workshop

    name = work(workshop.bay("bay1"), SHORTEST)
    with contextlib.closing(Workshop(shop, tmp_path, "birch")) as other:
        theirs = work(other.bay("bay1"), SHORTEST, start_s=1_790_086_400.0)
        office = serve(other)
        page = fetch(office, "/jobs").body.decode()
        assert (theirs in page, name in page) == (True, False)
        assert fetch(office, f"/jobs/{name}").status == 404


def test_a_store_that_is_not_there_is_a_sentence_on_the_page(tmp_path, monkeypatch, serve):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))

    class Nowhere:
        address = "host=127.0.0.1 port=1 user=alder.office"
        token_file = tmp_path / "central.token"
        place = CentralPlace("127.0.0.1", 1, "shop", "alder.office", "word")

    Nowhere.token_file.write_text("word", "ascii")
    Nowhere.token_file.chmod(0o600)
    office = serve(Nowhere)
    answer = ask(office.link, "/jobs", seconds=60)
    assert answer.status == 200
    assert b"The central store at 127.0.0.1:1 is not reachable; nothing can be shown before it answers." in answer.body
