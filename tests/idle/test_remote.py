"""A phone joins by the code on the page and is a remote: what it presses moves the job, and the wall follows."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Page, expect

from assistant.journal.opening import open_journal
from tests.display.browser import PATIENT_MS, PHONE, TABLET, WALL
from tests.display.seen import accessible
from tests.display.wire import ask
from tests.whole_jobs.talks import ROOT

pytestmark = pytest.mark.timeout(180)
TITLE = "Rim of the practice drum"


@pytest.fixture
def links(home: Path, procedures: Path, network: str) -> Iterator[tuple[str, str]]:
    """The links of a waiting bay in a network: that for looking, and that with the buttons."""
    shutil.copy(ROOT / "tests/typed/procedures/more-to-know.yaml", procedures)
    command = [sys.executable, "-m", "tests.idle.touched_day", str(home), str(procedures), network]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        looking, touching = process.stdout.readline().split()
        yield looking, touching
        process.terminate()


@pytest.fixture
def device(browser: Any) -> Iterator[Any]:
    """Open a page on a device of its own, with its own cookies."""
    contexts = []

    def device(link: str, size: tuple[int, int]) -> Page:
        contexts.append(browser.new_context(viewport={"width": size[0], "height": size[1]}, has_touch=True))
        page = contexts[-1].new_page()
        page.set_default_timeout(PATIENT_MS)
        page.goto(link)
        return page

    yield device
    for context in contexts:
        context.close()


def scanned(page: Page, code: str) -> str:
    """Return what a phone reads from the code at ``code``, of the picture of the whole page."""
    box = page.locator(f"img[src='{code}']").bounding_box()
    assert box is not None
    picture = page.screenshot(full_page=True, clip=box)
    (read,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(picture)).convert("L"))
    return str(read.text)


def test_a_phone_joins_by_the_code_and_its_presses_move_the_job_and_the_wall(
    links: tuple[str, str], home: Path, device: Any
) -> None:
    wall, tablet = device(links[0], WALL), device(links[1], TABLET)
    tablet.get_by_role("link", name="A phone joins as a remote").tap()
    expect(tablet.get_by_role("heading", name="As a remote")).to_be_visible()
    accessible(tablet)
    if folder := os.environ.get("PICTURES"):
        tablet.screenshot(path=f"{folder}/remote-code.png", full_page=True)
    address = scanned(tablet, "/remote.svg")
    assert address != scanned(tablet, "/link.svg")

    phone = device(address, PHONE)
    assert "token" not in phone.url, "the secret does not stay in the address"
    phone.get_by_role("button", name=TITLE).tap()
    for page in (phone, wall):
        expect(page.locator("#headline")).to_have_text(f"Start {TITLE}, operator Kim?")
    if folder := os.environ.get("PICTURES"):
        phone.screenshot(path=f"{folder}/remote-phone-asks.png")
        wall.screenshot(path=f"{folder}/remote-wall-asks.png")
    phone.get_by_role("button", name="Confirmed").tap()
    expect(wall.locator("#title")).to_contain_text(TITLE)
    phone.get_by_role("button", name="Next", exact=True).tap()
    for page in (wall, phone, tablet.context.new_page()):
        if page.url == "about:blank":
            page.goto(links[1])
        expect(page.locator("#headline")).to_have_text("People needed")
    if folder := os.environ.get("PICTURES"):
        phone.screenshot(path=f"{folder}/remote-phone.png")
        wall.screenshot(path=f"{folder}/remote-wall.png")
    with open_journal(home, read_only=True) as journal:
        (job,) = journal.scan()
        facts = [entry.fact for entry in journal.read(job.id)[0]]
    pressed = [fact for fact in facts if fact.KIND == "heard"]
    assert [str(fact.source) for fact in pressed] == ["touch"], "it is written down as a press"


def test_who_only_looks_gets_no_remote_and_a_wrong_secret_gets_nothing(
    links: tuple[str, str], home: Path, device: Any
) -> None:
    looking, touching = links
    looker = device(looking, PHONE)
    expect(looker.locator("#headline")).to_have_text("Ready")
    looker.goto(f"{looking.partition('?')[0]}link")
    expect(looker.locator("img[src='/link.svg']")).to_be_visible()
    expect(looker.locator("img[src='/remote.svg']")).to_have_count(0)
    assert looker.goto(f"{looking.partition('?')[0]}remote.svg").status == 404  # type: ignore[union-attr]

    base, secret = touching.partition("?")[0], parse_qs(urlsplit(touching).query)["token"][0]
    changed = secret[:-1] + ("A" if secret[-1] != "A" else "B")
    for wrong in (changed, secret[:-1], secret.swapcase(), "", f"{secret}x"):
        stranger = device("about:blank", PHONE)
        answer = stranger.goto(f"{base}?token={wrong}")
        assert answer is not None
        assert answer.status == 403
        assert stranger.inner_text("body").strip() == "Scan the code on the bay's screen, or ask there for the link."
        for path in ("idle", "press", "events", "jobs", "remote.svg"):
            assert stranger.goto(f"{base}{path}").status == 403  # type: ignore[union-attr]
        stranger.context.close()
    cookie = ask(looking, f"/?{urlsplit(looking).query}").headers["set-cookie"].split(";")[0]
    host = urlsplit(base).netloc
    body = b'{"button": "start_job", "value": "x", "boot": "", "seq": 0}'
    refusal = ask(base, "/idle", "POST", body, cookie=cookie, origin=f"http://{host}")
    assert (refusal.status, refusal.body) == (403, b"This page is for looking.\n")
    with open_journal(home, read_only=True) as journal:
        assert list(journal.scan()) == []
