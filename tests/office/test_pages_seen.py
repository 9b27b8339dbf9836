"""Every page of the office in a real browser, on a phone and on a wall, with two bays that wrote hostile words."""

from __future__ import annotations

import os

import pytest

from tests.display.browser import PHONE, WALL
from tests.display.seen import accessible, letters
from tests.jobs import SHORT, work
from tests.office.test_pages import MACHINE
from tests.office.test_search import finding, written
from tests.office.test_tools import taken

PAGES = {
    "jobs": "Jobs of all bays",
    "due": "Due again",
    "machines": "Machines",
    "machines?name=van%207%20/%20%3Cb%3Enorth%3C/b%3E": MACHINE,
    "tools": "Tools of all bays",
    "search?q=hairline": "Search notes and findings",
    "exports": "Exports",
    "members": "Members of the workshop",
    "procedures": "Procedures",
    "library": "Library of the workshop",
}


@pytest.mark.timeout(240)
def test_every_page_is_seen_well(workshop, serve, browser):
    work(workshop.bay("bay1"), SHORT, asset=MACHINE, tools=taken())
    name = written(workshop.bay("bay2"), finding("a hairline crack <i>here</i>"), at_ms=1_790_086_400_000)
    office = serve(workshop)
    complaints = []
    for size in (PHONE, WALL):
        context = browser.new_context(viewport={"width": size[0], "height": size[1]}, color_scheme="dark")
        page = context.new_page()
        page.set_default_timeout(20_000)
        page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda fault: complaints.append(str(fault)))
        for path, heading in PAGES.items():
            page.goto(office.link + path)
            assert page.get_by_role("heading", level=1).inner_text() == heading
            accessible(page)
            assert page.evaluate("document.documentElement.scrollWidth") <= size[0], path
            assert all(one.contrast >= 7.0 for one in letters(page)), path
            assert page.locator("main b, main i").count() == 0, "what people wrote is text"
            if folder := os.environ.get("PICTURES"):
                page.screenshot(path=f"{folder}/office-{path.partition('?')[0]}-{size[0]}.png", full_page=True)
        page.goto(office.link + "search?q=hairline")
        page.get_by_role("link", name=name, exact=True).click()
        page.get_by_role("link", name="Back to what was found for “hairline”").click()
        assert page.get_by_role("searchbox").input_value() == "hairline"
        context.close()
    assert complaints == []
