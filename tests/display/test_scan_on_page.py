"""Codes and remotes at the page: what a reader types there is a code, and needs the rights of the touch buttons."""

import json

from playwright.sync_api import expect

from tests.display.browser import shows
from tests.display.test_server import tokens
from tests.display.wire import ask

TYPED = """(keys) => { let at = 0;
for (const key of keys) {
  const event = new KeyboardEvent("keydown", {key, bubbles: true, cancelable: true});
  Object.defineProperty(event, "timeStamp", {value: 1000 + (at += AFTER)});
  document.activeElement.dispatchEvent(event);
} }"""
"""Types keys so many milliseconds apart: whether the browser has time for it is not what is asked."""


def scan(play, body: bytes, **headers):
    own = play.display.link.removeprefix("http://").split("/")[0]
    return ask(play.display.link, "/scan", "POST", body, **{"origin": f"http://{own}"} | headers)


def test_only_whoever_may_touch_may_scan(begin, tmp_path, network):
    assert scan(begin(), b"{}").status == 403
    play = begin(host=network, touch=True)
    looking, touching = tokens(tmp_path)
    name = f"display-{play.display.link.split(':')[2].split('/')[0]}"
    code = json.dumps({"text": "WO-4711", "boot": play.display.board.boot}).encode()
    assert scan(play, code, cookie=f"{name}={looking}").status == 403
    assert "WO" not in play.said.getvalue()
    assert scan(play, code, cookie=f"{name}={touching}").status == 200
    assert "I read W O four seven one one." in play.said.getvalue()
    for body in (b"", b"[]", b'{"text": "1"}', b"\xff", b"[" * 200):
        assert scan(play, body, cookie=f"{name}={touching}").status == 400, body
    for stale in ({"text": "1", "boot": "x"}, {"text": " ", "boot": play.display.board.boot}):
        assert scan(play, json.dumps(stale).encode(), cookie=f"{name}={touching}").status == 409
    assert scan(play, b"1" * 5000, cookie=f"{name}={touching}").status == 413


def test_a_reader_at_the_page_presses_nothing_and_a_remote_goes_on(begin, look):
    play = begin(touch=True)
    page = look(play)
    page.get_by_role("button", name="Next", exact=True).focus()
    with page.expect_response("**/scan"):
        page.evaluate(TYPED.replace("AFTER", "5"), [*"WO 47", "Enter"])
    assert "I read W O four seven." in play.said.getvalue()
    shows(page, play.seq)
    page.evaluate(TYPED.replace("AFTER", "120"), [*"WO 47"])
    assert play.presses == []
    headline = page.locator("#headline").inner_text()
    with page.expect_response("**/press"):
        page.keyboard.press("PageDown")
    expect(page.locator("#headline")).to_have_text("People needed")
    shows(page, play.seq)
    with page.expect_response("**/press"):
        page.keyboard.press("ArrowLeft")
    expect(page.locator("#headline")).to_have_text(headline)
    assert play.presses == ["next", "go back"]
    expect(page.locator("#keys")).to_contain_text("Page down")
