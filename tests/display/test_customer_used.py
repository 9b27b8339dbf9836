"""The page for the customer in real browsers: buttons pressed, the entry, the sentence, and the record."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from assistant.customer.own_text import keep_own_text
from assistant.facts.extra import ExtraGranted
from assistant.procedure.wordings import OwnText
from assistant.report.record.build import build_record
from tests.display.browser import PHONE, WALL
from tests.display.customers import LID, found, token_for
from tests.display.engines import gecko, waits
from tests.display.seen import accessible, letters


@pytest.mark.browser
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_customer_grants_on_a_phone_without_script_and_the_bay_hears_it(begin, browser, theme) -> None:
    play = found(begin(LID))
    url = f"{play.display.link}customer/{token_for(play)}"
    width, height = PHONE
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme=theme, java_script_enabled=False
    )
    try:
        page = context.new_page()
        page.goto(url)
        page.get_by_role("button", name="Granted (extra work 2)").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("You grant extra work 2")
        page.get_by_role("button", name="Yes, I grant this").click(no_wait_after=True)
        play.take()
        expect(page.get_by_text("You granted this")).to_be_visible()
        expect(page.get_by_role("button", name="Granted (extra work 2)")).to_have_count(0)
        page.get_by_role("button", name="Declined (extra work 3)").click()
        page.get_by_role("button", name="Yes, I decline this").click(no_wait_after=True)
        play.take()
        expect(page.get_by_text("You declined this")).to_be_visible()
    finally:
        context.close()
    entries = play.job.entries()
    assert [entry.fact.number for entry in entries if isinstance(entry.fact, ExtraGranted)] == [2]
    assert "Extra work two is granted by the customer." in play.said.getvalue()
    assert "Extra work three is declined by the customer." in play.said.getvalue()
    rows = {row.number: row for row in build_record(play.job.id, entries).extra}
    assert rows[2].by == "the customer, on the page; price on request; shown as it stands here"
    assert (rows[2].stands, rows[3].stands) == ("granted", "declined")


@pytest.mark.browser
def test_everybody_can_read_and_press_it(begin, browser) -> None:
    play = found(begin(LID))
    url = f"{play.display.link}customer/{token_for(play)}"
    for size in (PHONE, WALL):
        for theme in ("light", "dark"):
            context = browser.new_context(
                viewport={"width": size[0], "height": size[1]}, color_scheme=theme, bypass_csp=True
            )
            try:
                page = context.new_page()
                page.goto(url)
                _looked_at(page, size[0])
                page.get_by_role("button", name="Declined (extra work 2)").click()
                expect(page.get_by_role("heading", level=1)).to_have_text("You decline extra work 2")
                _looked_at(page, size[0])
                page.goto(f"{play.display.link}customer/nobody")
                _looked_at(page, size[0])
            finally:
                context.close()


@pytest.mark.browser
def test_the_workshops_own_text_stands_apart_from_what_is_offered(begin, browser) -> None:
    """A customer reads whose page it is and whom to call; markup is text, and nothing leaves the screen of a phone."""
    play = found(begin(LID))
    text = "Call us from seven to four.\n<b>Größe</b>\n" + "Ü" * 300
    keep_own_text(play.job.id, OwnText(("Örn & Co", "Row 7"), tuple(text.split("\n"))))
    url = f"{play.display.link}customer/{token_for(play)}"
    for theme in ("light", "dark"):
        context = browser.new_context(
            viewport={"width": PHONE[0], "height": PHONE[1]}, color_scheme=theme, bypass_csp=True
        )
        try:
            page = context.new_page()
            page.goto(url)
            _looked_at(page, PHONE[0])
            assert page.inner_text("main").startswith("Örn & Co\n")
            expect(page.get_by_role("heading", name="From the workshop")).to_have_count(1)
            own = page.locator(".own")
            assert own.inner_text().split("\n")[-3:] == text.split("\n")
            assert own.locator("b, button").count() == 0
        finally:
            context.close()


def _looked_at(page, width: int) -> None:
    accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert all(one.contrast >= 7.0 for one in letters(page))
    heights = page.evaluate("[...document.querySelectorAll('button, a')].map(e => e.getBoundingClientRect().height)")
    assert all(height >= 44 for height in heights)


@pytest.mark.browser
@pytest.mark.slow
def test_another_engine_sends_what_the_guard_wants(begin, tmp_path) -> None:
    """The cookie, the origin and the two forms, as Firefox sends them."""
    play = found(begin(LID))
    with gecko(tmp_path) as engine:
        engine.go(f"{play.display.link}customer/{token_for(play)}")
        engine.see("document.querySelectorAll('#work-2 button')[0].click() || 1")
        waits(engine, "document.querySelector('h1')?.textContent.includes('You grant')", "the second page")
        engine.see("document.querySelector('button').click() || 1")
        play.take()
        waits(engine, "document.body?.textContent.includes('You granted this')", "the answer")
        assert engine.complaints() == []
    assert "granted by the customer" in play.said.getvalue()
