"""Pages over many jobs: the record as a PDF, what is due, and the history of a machine."""

from __future__ import annotations

import io
import os
from decimal import Decimal

import pytest
from pypdf import PdfReader

from assistant.facts import Quantity
from assistant.journal.opening import open_journal
from tests.display.browser import PHONE, WALL
from tests.display.seen import accessible, letters
from tests.display.wire import Answer, raw
from tests.jobs import SHORT, work

HOSTILE = "Van 7 / <b>north</b> & -x"


def fetch(link: str, path: str) -> Answer:
    """Ask as a browser does, with the time that a process of its own needs."""
    host = link.split("/")[2]
    return raw(link, f"GET {path} HTTP/1.1\r\nhost: {host}\r\n\r\n".encode(), 60)


@pytest.fixture
def worked(begin, tmp_path):
    """A page, and a journal with two closed jobs and one that is open."""
    with open_journal(tmp_path) as journal:
        names = [
            work(journal, SHORT, asset=HOSTILE, customer="Order 12", meter=Quantity(Decimal(40_000), "km")),
            work(journal, SHORT, asset="van 7 / <b>NORTH</b> &  -x"),
        ]
    return begin(), names


@pytest.mark.timeout(120)
def test_the_record_of_a_closed_job_is_a_pdf_to_download(worked):
    play, (name, _) = worked
    answer = fetch(play.display.link, f"/jobs/{name}/record.pdf")
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.headers["content-disposition"] == f'attachment; filename="record-{name}.pdf"'
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.body)).pages)
    assert name in text
    assert "Order 12" in text
    assert fetch(play.display.link, f"/jobs/{name}/record.pdf").body == answer.body
    assert play.display.desk.records.made == 1, "it is kept until the job goes on"
    assert fetch(play.display.link, "/jobs/1999-01-01-1/record.pdf").status == 404


@pytest.mark.timeout(120)
def test_due_and_machines_can_be_looked_at_on_phone_and_wall(worked, look):
    play, names = worked
    for size in (PHONE, WALL):
        page = look(play, size, "machines")
        page.get_by_role(
            "link", name=HOSTILE.replace("north", "NORTH").replace("Van", "van").replace("  ", " ")
        ).click()
        page.get_by_role("heading", name="Jobs (2)").wait_for()
        seen_well(page, size, f"machine-{size[0]}")
        assert [page.get_by_role("link", name=name, exact=True).count() for name in names] >= [1, 1]
        assert page.get_by_role("heading", name="How long the steps took").count() == 1
        assert page.locator("b").count() == 0, "what people wrote is text"
        page.get_by_role("link", name="Due", exact=True).click()
        row = page.get_by_role("row").nth(1)
        assert "New gasket for the coolant pump cover" in row.inner_text()
        assert f"job {names[1]}" in row.inner_text(), "the last closed job of the machine counts"
        seen_well(page, size, f"due-{size[0]}")
    assert fetch(play.display.link, "/machines?name=nobody").status == 404
    assert (
        b"There is no job for the machine &#34;nobody&#34;." in fetch(play.display.link, "/machines?name=nobody").body
    )
    assert fetch(play.display.link, "/machines?name=%00-%FF").status == 404


def seen_well(page, size, name):
    accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert all(one.contrast >= 7.0 for one in letters(page))
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)
