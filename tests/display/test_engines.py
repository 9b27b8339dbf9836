"""The page in the other two engines that browsers are made of, for real: Gecko (Firefox) and WebKit (WebKitGTK)."""

import pytest

from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.display.board import Ear
from tests.display.browser import WALL_MM
from tests.display.engines import gecko, waits, webkit
from tests.display.play import AFTER_THE_WAIT, NOTHING, SHORT, TO_FIRST_STEP, TO_TIGHTENING
from tests.display.seen import LETTERS, height_mm, read

SEEN = """Object.fromEntries([...document.querySelectorAll('[id]')]
  .filter(e => e.getClientRects().length && !e.closest('[hidden]')).map(e => [e.id, e.textContent.trim()]))"""


def shown(engine, seq: int) -> dict[str, str]:
    waits(engine, f"Number(document.getElementById('main').dataset.seq) >= {seq}", f"picture {seq}")
    return engine.see(SEEN)


@pytest.mark.browser
@pytest.mark.timeout(90)
@pytest.mark.parametrize("start", [gecko, webkit])
def test_the_page_follows_a_talk_can_be_read_and_comes_back(begin, tmp_path, start):
    play = begin(touch=True)
    play.display.board.listen_to(lambda: Ear("listening", -40.0))
    with start(tmp_path) as engine:
        engine.go(play.display.link)
        assert shown(engine, play.seq)["headline"] == "Before you start"

        play.say(*TO_FIRST_STEP[:7])
        now = shown(engine, play.seq)
        assert (now["word-text"], now["danger"]) == ("WARNING", "Hot coolant is under pressure.")
        assert "large" not in now

        play.say("confirmed", *TO_TIGHTENING[8:])
        assert shown(engine, play.seq)["clock"] in ("0:30", "0:29", "0:28", "0:27")

        play.pass_time(31)
        play.say(*AFTER_THE_WAIT, NOTHING)
        now = shown(engine, play.seq)
        assert (now["number"], now["unit"], now["stage"], now["now"]) == (
            "5",
            "N·m",
            "Stage 1 of 3",
            "Bolts 1, 3, 2, 4",
        )
        assert (now["counts"], now["verdict"]) == ("■ 4 now, ○ 2 to do", "✗ not understood")
        wide, high, inner, tall = engine.see(
            "[document.documentElement.scrollWidth, document.documentElement.scrollHeight, innerWidth, innerHeight]"
        )
        assert wide <= inner
        assert high <= tall
        mm = WALL_MM / inner  # the browser fills the screen of 24 inches
        pieces = read(engine.see(f"({LETTERS})()"))
        assert {"number", "now", "stage", "next", "heard-text"} <= {one.id for one in pieces}
        for one in pieces:
            assert one.contrast >= 7.0, one
            assert one.capital * mm >= height_mm(3 if one.id == "number" else 1), one

        engine.see("document.querySelector('[data-press=pause]').click()")
        waits(engine, "document.getElementById('headline').textContent === 'Paused'", "the press of a button")

        port = int(play.display.link.split(":")[2].strip("/"))
        play.display.close()
        waits(engine, "document.body.dataset.stale === 'true'", "the sign that the page is old")
        assert "NOT UPDATING" in shown(engine, 0)["stale"] or "Trying" in shown(engine, 0)["stale"]
        again = Display(DisplayOptions("", port), procedures=SHORT.parent)
        try:
            again.board.begin(play.runner.session.procedure)
            play.say("carry on")
            again.board.show(play.runner.session.view(play.now))
            waits(engine, "document.body.dataset.stale === 'false'", "the page again")
            waits(engine, "document.getElementById('number').textContent === '5'", "the value again")
        finally:
            again.close()
        # The server was away for a while: that much a browser may say.
        assert [
            said for said in engine.complaints() if "/events" not in said and "connection" not in said.lower()
        ] == []
