"""The pages for the desk in a real browser: jobs, records, procedures."""

import re

from playwright.sync_api import expect

from tests.display.browser import PHONE, WALL
from tests.display.seen import accessible, letters
from tests.display.wire import ask


def test_the_desk_pages(begin, look):
    play = begin()
    for path, heading in (
        ("jobs", "Jobs"),
        ("procedures", "Procedures"),
        ("procedures/coolant-pump-cover.yaml", "New gasket for the coolant pump cover"),
    ):
        page = look(play, PHONE, path)
        assert page.get_by_role("heading", level=1).inner_text() == heading
        accessible(page)
        (marked,) = page.locator("nav a[aria-current]").all()  # also on the page of one procedure, as the way back
        assert marked.get_attribute("href") == f"/{path.partition('/')[0]}"
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
        assert all(one.contrast >= 7.0 for one in letters(page))
    expect(page.get_by_text("Say yes or no.").first).to_be_visible()  # what is said there


def test_the_list_of_jobs_leads_to_their_records(begin, look):
    paused = begin()
    paused.say("next", "pause")
    name = paused.job.id
    paused.job.close()
    play = begin()
    page = look(play, WALL, "jobs")
    for state, job in (("open", play.job.id), ("paused", name)):
        assert (
            page.get_by_role("region", name=re.compile(state, re.IGNORECASE))
            .get_by_role("link", name=job, exact=True)
            .is_visible()
        )
    page.get_by_role("link", name=name, exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(f"Job record {name}")
    assert page.evaluate("document.scripts.length") == 0


def test_a_job_that_is_not_there_is_a_sentence(begin):
    answer = ask(begin().display.link, "/jobs/1999-01-01-1")
    assert answer.status == 404
    assert b"There is no job &#34;1999-01-01-1&#34;" in answer.body


def test_a_link_on_a_page_of_somebody_else_leads_to_the_front_page_alone(begin, look):
    play = begin()
    page = look(play, ends=True)  # the browser tells of what is refused
    for path, heading in (("", "Before you start"), ("jobs", "Another page may not open this one")):
        page.goto("about:blank")
        page.set_content(f'<a href="{play.display.link}{path}">look here</a>')
        page.get_by_text("look here").click()
        expect(page.get_by_text(heading).first).to_be_visible()
