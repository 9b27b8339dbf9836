"""The page between jobs in a real browser: from the waiting bay into a job and back, by touch and by keyboard."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import IO, Any

import pytest
from playwright.sync_api import Page, expect

from assistant.bay.job_opening import open_job
from assistant.events import Thresholds
from assistant.journal.opening import open_journal
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from tests.display.browser import PATIENT_MS, PHONE, TABLET, WALL
from tests.display.seen import accessible, letters
from tests.whole_jobs.talks import ROOT

pytestmark = pytest.mark.timeout(180)
TITLE = "Rim of the practice drum"


@pytest.fixture
def bay(home: Path, procedures: Path) -> Iterator[tuple[str, IO[str]]]:
    """The link of a waiting bay, and its keyboard."""
    shutil.copy(ROOT / "tests/typed/procedures/more-to-know.yaml", procedures)
    command = [sys.executable, "-m", "tests.idle.touched_day", str(home), str(procedures)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        yield process.stdout.readline().strip(), process.stdin
        process.terminate()


@pytest.fixture
def page(bay: tuple[str, IO[str]], browser: Any) -> Iterator[Page]:
    """The page of the bay on a tablet."""
    context = browser.new_context(viewport={"width": TABLET[0], "height": TABLET[1]}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(PATIENT_MS)
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda fault: complaints.append(str(fault)))
    page.goto(bay[0])
    yield page
    context.close()
    assert complaints == []


def test_by_touch_from_the_waiting_bay_into_a_job_and_back(bay: tuple[str, IO[str]], page: Page) -> None:
    link, keyboard = bay
    headline, chosen = page.locator("#headline"), page.locator("#things")
    row = page.get_by_role("button", name=TITLE)
    expect(headline).to_have_text("Ready")
    seen_well(page, "waits")
    page.get_by_role("button", name="Jon").tap()
    expect(page.get_by_role("button", name="Jon")).to_have_attribute("aria-pressed", "true")
    page.get_by_label("Machine", exact=True).fill("van <7>")
    page.get_by_label("Customer").fill("order 12")
    row.tap()
    expect(headline).to_have_text(f"Start {TITLE}, operator Jon?")
    assert chosen.locator("li").all_inner_texts() == ["Machine: van <7>", "Customer: order 12"]
    seen_well(page, "asks")
    page.get_by_role("button", name="Cancel").tap()
    expect(row).to_be_visible()
    assert page.get_by_label("Machine", exact=True).input_value() == "van <7>", "nothing that was written is lost"
    # The search and the way to a job work by keyboard alone.
    page.get_by_label("Search titles and machines").focus()
    page.keyboard.type("rim DRUM")
    expect(page.locator("#idle-found")).to_have_text("1 found")
    assert page.locator("#idle-lists button:visible").all_inner_texts() == [
        f"{TITLE}\nnot approved, machine Practice drum on the bench"
    ]
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Cancel")).to_be_focused()
    page.get_by_role("button", name="Confirmed").tap()  # it can be pressed when the question had time to be read
    expect(page.locator("#title")).to_contain_text(TITLE)
    assert not page.locator("#idle").is_visible()
    page.get_by_role("button", name="Next", exact=True).tap()
    expect(headline).to_have_text("People needed")
    for phrase in ("next", "next", "next", "yes", "finish job", "confirmed"):
        keyboard.write(f"{phrase}\n")
        keyboard.flush()
    expect(headline).to_have_text(f"The record of {TITLE} is on the page.", timeout=30_000)
    seen_well(page, "behind")
    assert page.get_by_role("link", name="PDF").get_attribute("href").endswith("/record.pdf")  # type: ignore[union-attr]
    page.get_by_role("link", name="Record of job").click()
    expect(page.get_by_text("van <7>").first).to_be_visible()
    page.goto(f"{link}machines")
    expect(page.get_by_role("link", name="van <7>")).to_be_visible()


def test_in_a_job_it_is_handed_to_somebody_of_the_bay_with_two_presses(home: Path, page: Page) -> None:
    headline = page.locator("#headline")
    page.get_by_role("button", name=TITLE).tap()
    page.get_by_role("button", name="Confirmed").tap()
    expect(page.locator("#title")).to_contain_text(TITLE)
    page.get_by_text("Menu").tap()
    page.get_by_role("button", name="Hand over").tap()
    expect(headline).to_have_text("Hand the job over? Say confirmed.")
    page.get_by_role("button", name="Confirmed").tap()
    page.get_by_role("button", name="Jon takes over").tap()
    expect(page.locator("#hands")).to_be_hidden()
    with open_journal(home, read_only=True) as journal:
        (job,) = journal.scan()
        handed = [entry.data for entry in journal.read(job.id)[0] if entry.kind == "handed_over"]
    assert [(one["left_by"], one["taken_by"]) for one in handed] == [("Kim", "Jon")]


def test_whoever_takes_over_an_open_job_is_told_from_whom_before_it_is_confirmed(home: Path, page: Page) -> None:
    with open_journal(home) as journal:
        open_job(
            journal, read_procedure(ROOT / "tests/typed/procedures/more-to-know.yaml"), "more-to-know.yaml",
            Settings(operator="Jon"), Thresholds(), time.time(),
        ).job.close()  # fmt: skip
    page.get_by_role("button", name="Aoife").tap()  # at each press it is looked again what is open
    expect(page.locator("#idle-jobs li")).to_have_count(1)
    assert "operator Jon" in page.locator("#idle-jobs li").inner_text()
    page.locator("#idle-jobs button").tap()
    expect(page.locator("#headline")).to_contain_text("operator Aoife?")
    expect(page.locator("#things li", has_text="Hand-over")).to_have_text("Hand-over: Aoife takes over from Jon")
    seen_well(page, "takes-over")
    page.get_by_role("button", name="Confirmed").tap()
    expect(page.locator("#title")).to_contain_text(TITLE)
    with open_journal(home, read_only=True) as journal:
        (job,) = journal.scan()
        handed = [entry.data for entry in journal.read(job.id)[0] if entry.kind == "handed_over"]
    assert [(one["left_by"], one["taken_by"]) for one in handed] == [("Jon", "Aoife")]


def test_between_jobs_a_double_tap_confirms_nothing(page: Page) -> None:
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.post_data or "") if request.url.endswith("/idle") else None)
    page.clock.install()
    page.clock.pause_at(datetime.now(UTC) + timedelta(seconds=1))
    page.get_by_role("button", name=TITLE).tap()
    sure = page.get_by_role("button", name="Confirmed")
    expect(sure).to_be_disabled()
    box = sure.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.clock.run_for(599)
    expect(sure).to_be_disabled()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.clock.run_for(1)
    expect(sure).to_be_enabled()
    assert ["start_job" in one for one in sent] == [True], "only the procedure was pressed"
    page.get_by_role("button", name="Cancel").tap()
    expect(page.locator("#headline")).to_have_text("Ready")


def seen_well(page: Page, name: str) -> None:
    """Look at the page at all sizes."""
    for size in (PHONE, WALL, TABLET):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert all(one.contrast >= 7.0 for one in letters(page))
        for button in page.locator("#idle button:visible").all():
            box = button.bounding_box()
            assert box is not None
            assert box["height"] >= 58, "it is for gloves"
        if folder := os.environ.get("PICTURES"):
            page.screenshot(path=f"{folder}/idle-{name}-{size[0]}.png")
    accessible(page)
