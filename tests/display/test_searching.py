"""Searching the lists of the desk in a real browser, and the way back from what they lead to."""

from __future__ import annotations

import io
import os

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from assistant.journal.opening import open_journal
from tests.display.browser import PHONE, WALL
from tests.display.seen import RULES, accessible, letters
from tests.display.wire import ask, raw
from tests.jobs import SHORT, work

MACHINE = "Van 7 / <b>north</b> & -x"


@pytest.fixture
def worked(begin, tmp_path):
    """A page, and a journal with two closed jobs of one machine and one that is open."""
    with open_journal(tmp_path) as journal:
        names = [work(journal, SHORT, asset=MACHINE), work(journal, SHORT, asset=MACHINE)]
    return begin(), names


def seen_well(page, size, name):
    accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert all(one.contrast >= 7.0 for one in letters(page))
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=f"{folder}/{name}-{size[0]}.png", full_page=True)


@pytest.mark.parametrize("size", [PHONE, WALL], ids=["phone", "wall"])
@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without"])
def test_a_procedure_is_found_by_keyboard_and_the_way_back_keeps_the_search(begin, look, size, scripts):
    play = begin()
    page = look(play, size, "procedures", java_script_enabled=scripts)
    everything = page.get_by_role("row").count() - 1
    box = page.get_by_role("searchbox", name="Search procedures: file, title, revision")
    box.focus()
    page.keyboard.type("  GASKET cover ")
    page.keyboard.press("Enter")
    page.wait_for_url("**/procedures?q=*")
    expect(page.get_by_role("status")).to_have_text(f"1 of {everything} found for “GASKET cover”.")
    assert everything > 1
    assert page.title() == "Procedures found for “GASKET cover”"
    expect(box).to_have_value("GASKET cover")
    expect(page.locator("nav a[aria-current=page]")).to_have_text("Procedures")
    if scripts:
        seen_well(page, size, "procedures-found")
    # On by keyboard: behind the field the button, "Show all", the table that may scroll, and the one that was found.
    box.focus()
    for _ in range(4):
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("New gasket for the coolant pump cover")
    expect(page.locator("nav a[aria-current=true]")).to_have_text("Procedures")
    back = page.get_by_role("link", name="Back to the procedures found for “GASKET cover”")
    expect(back).to_be_visible()
    if scripts:
        seen_well(page, size, "procedure")
    page.emulate_media(media="print")
    expect(back).to_be_hidden()
    page.emulate_media(media="screen")
    back.click()
    expect(page.get_by_role("row")).to_have_count(2)
    page.get_by_role("link", name=f"Show all {everything}").click()
    expect(page.get_by_role("row")).to_have_count(everything + 1)


@pytest.mark.parametrize("size", [PHONE, WALL], ids=["phone", "wall"])
def test_where_nothing_fits_a_sentence_says_so_and_a_link_shows_all(begin, look, size):
    page = look(begin(), size, "procedures")
    page.get_by_role("searchbox").fill("gasket of <b>gold</b>")
    page.get_by_role("button", name="Search").click()
    expect(page.get_by_role("status")).to_have_text(
        "Nothing here has “gasket of <b>gold</b>” in it. Every word must be found: try fewer, or only a part of one."
    )
    expect(page.get_by_role("table")).to_have_count(0)
    assert page.locator("b").count() == 0, "what people wrote is text"
    seen_well(page, size, "procedures-nothing")
    page.get_by_role("link", name="Show all").click()
    expect(page.get_by_role("table")).to_be_visible()


@pytest.mark.timeout(120)
@pytest.mark.parametrize("size", [PHONE, WALL], ids=["phone", "wall"])
def test_a_record_leads_back_to_the_search_that_found_it_and_not_on_paper(worked, look, size):
    play, (first, second) = worked
    page = look(play, size, "jobs")
    page.get_by_role("searchbox", name="Search jobs: number, procedure, state").fill(f"gasket {second}")
    page.get_by_role("button", name="Search").click()
    expect(page.get_by_role("status")).to_have_text(f"1 of 3 found for “gasket {second}”.")
    seen_well(page, size, "jobs-found")
    expect(page.get_by_role("link", name=first, exact=True)).to_have_count(0)
    page.get_by_role("link", name=second, exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(f"Job record {second}")
    back = page.get_by_role("link", name=f"Back to the jobs found for “gasket {second}”")
    expect(back).to_be_visible()
    copy = page.context.new_page()
    copy.set_content(page.content())  # in the record itself no script runs, not even this one
    accessible(copy, RULES[:4])  # WCAG 2.1: it is a paper, with many small links to its own lines
    copy.close()
    page.emulate_media(media="print")
    expect(back).to_be_hidden()
    page.emulate_media(media="screen")
    back.click()
    expect(page.get_by_role("searchbox")).to_have_value(f"gasket {second}")
    expect(page.get_by_role("link", name=second, exact=True)).to_be_visible()
    pdf = raw(play.display.link, f"GET /jobs/{second}/record.pdf?q=gasket HTTP/1.1\r\nhost: "
              f"{play.display.link.split('/')[2]}\r\n\r\n".encode(), 60)  # fmt: skip
    text = " ".join(one.extract_text() for one in PdfReader(io.BytesIO(pdf.body)).pages)
    assert second in text
    assert "Back to" not in text


@pytest.mark.timeout(120)
def test_a_record_leads_back_to_the_machine_or_to_what_is_due(worked, look):
    play, names = worked
    page = look(play, WALL, "machines")
    page.get_by_role("searchbox", name="Search machines: name, last work").fill("north")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_have_text("1 of 1 found for “north”.")
    seen_well(page, WALL, "machines-found")
    page.get_by_role("link", name=MACHINE).click()
    expect(page.get_by_role("link", name="Back to the machines found for “north”")).to_be_visible()
    page.get_by_role("link", name=names[0], exact=True).first.click()
    page.get_by_role("link", name=f"Back to {MACHINE}", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(MACHINE)
    page.get_by_role("link", name="Back to the machines found for “north”").click()
    expect(page.get_by_role("searchbox")).to_have_value("north")
    page.get_by_role("link", name="Due", exact=True).click()
    page.get_by_role("link", name=f"job {names[1]}").click()
    page.get_by_role("link", name="Back to what is due", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Due again")


@pytest.mark.timeout(120)
def test_no_address_makes_the_way_back_lead_elsewhere_or_a_script_run(worked):
    play, (name, _) = worked
    hostile = (
        "/jobs/{}?machine=%22%3E%3Cscript%3Ealert(1)%3C/script%3E&q=//elsewhere.example/&list=https://elsewhere.example"
    )
    host = play.display.link.split("/")[2]
    answer = raw(play.display.link, f"GET {hostile.format(name)} HTTP/1.1\r\nhost: {host}\r\n\r\n".encode(), 60)
    assert answer.status == 200
    assert b"<script" not in answer.body
    assert b'href="/machines?name=%22%3E%3Cscript%3E' in answer.body
    assert b"script-src" not in answer.headers["content-security-policy"].encode()  # default-src 'none' stands for it
    assert "sandbox allow-same-origin" in answer.headers["content-security-policy"]
    assert "allow-scripts" not in answer.headers["content-security-policy"]
    long = ask(play.display.link, f"/procedures?q={'x' * 900}")
    assert long.status == 200
    assert b"x" * 80 in long.body
    assert b"x" * 81 not in long.body
    assert "form-action 'self'" in long.headers["content-security-policy"]
    assert "form-action 'none'" in ask(play.display.link, "/due").headers["content-security-policy"]
