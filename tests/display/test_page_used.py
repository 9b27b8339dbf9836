"""The page in a real browser while somebody works with it: keys, screen reader, hazards, buttons, what just changed."""

import re

import pytest
from playwright.sync_api import expect

from assistant.display.board import Ear
from tests.display.browser import PHONE, TABLET, WALL, WALL_MM, shows
from tests.display.play import AFTER_THE_WAIT, NOTHING, SHORT, TO_FIRST_STEP, TO_TIGHTENING
from tests.display.scenes import scenes
from tests.display.seen import accessible, height_mm, letters, texts


def test_it_can_be_used_by_keyboard_alone(begin, look):
    play = begin(touch=True)
    page = look(play)
    names = []
    for _ in range(14):
        page.keyboard.press("Tab")
        names.append(page.evaluate("document.activeElement.textContent.trim()"))
        if names == ["Menu"]:
            page.keyboard.press("Enter")
    assert names == [
        "Menu", "Jobs", "Procedures", "Machines", "Due", "Light or dark", "Smaller text", "Larger text", "Hand over",
        "Camera on", "Next", "Repeat", "Pause", "Photo",
    ]  # fmt: skip
    page.get_by_role("button", name="Next", exact=True).focus()
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    expect(page.locator("#headline")).to_have_text("People needed")
    assert play.presses == ["next"]


def test_what_changes_is_told_to_a_screen_reader_once_and_politely(begin, look):
    play = begin()
    page = look(play)
    told = page.locator("#announce")
    assert told.get_attribute("aria-live") == "polite"
    play.say(*TO_FIRST_STEP[:6])
    alarm = page.get_by_role("alert")
    expect(alarm).to_have_text(re.compile(r"^CAUTION\. Coolant makes the floor slippery"))
    play.say("confirmed", "confirmed")
    expect(told).to_have_text("Step 1 of 13. Is the engine cold to the touch?")
    expect(alarm).to_have_text("")
    page.evaluate(
        "window.changes = 0; new MutationObserver(() => window.changes++).observe("
        "document.getElementById('announce'), {childList: true, characterData: true, subtree: true})"
    )
    play.say(NOTHING, "repeat")
    shows(page, play.seq)
    assert page.evaluate("window.changes") == 0  # nothing about the work has changed


def test_nothing_moves_that_need_not(begin, look):
    play = begin()
    play.display.board.listen_to(lambda: Ear("listening", -40.0))
    page = look(play, reduced_motion="reduce")
    styles = page.evaluate(
        "[...document.querySelectorAll('*')].map(e => getComputedStyle(e))"
        ".map(s => [s.animationName, s.transitionDuration, s.scrollBehavior])"
    )
    assert {tuple(style) for style in styles} == {("none", "0s", "auto")}
    assert not page.locator("#bars").is_visible()
    assert page.locator("#ear-text").inner_text() == "listening"


def test_text_of_people_is_text(begin, look, tmp_path):
    hostile = "<img src=x onerror=alert(1)> <script>alert(2)</script> {{7*7}}"
    source = SHORT.read_text("utf-8")
    step = "Open the drain tap and let the coolant run into the pan."
    title = "New gasket for the coolant pump cover"
    assert step in source
    assert title in source
    evil = tmp_path / "evil.yaml"
    evil.write_text(source.replace(step, f"'{hostile} open.'").replace(title, f"'{hostile} title'"), "utf-8")
    play = begin(evil)
    page = look(play)
    page.on("dialog", lambda dialog: pytest.fail(f"a script ran: {dialog.message}"))
    play.say(*TO_FIRST_STEP, "yes")
    shows(page, play.seq)
    assert texts(page, "headline", "title") == [f"{hostile} open.", f"Invented values – {hostile} title"]
    assert page.locator("img[onerror], main script").count() == 0
    for path in ("jobs", "procedures", "procedures/evil.yaml"):
        desk = look(play, path=path)
        expect(desk.get_by_text(f"{hostile} title").first).to_be_visible()
        assert desk.locator("img").count() == 0


def test_a_hazard_takes_the_page_over_and_shows_nothing_of_the_step(begin, look):
    play = begin()
    page = look(play)
    play.say(*TO_FIRST_STEP[:7])
    shows(page, play.seq)
    assert texts(page, "word-text", "danger", "phrase") == ["WARNING", "Hot coolant is under pressure.", "confirmed"]
    box, height = page.locator("#main").bounding_box(), WALL[1]
    assert box["height"] > 0.6 * height
    for held_back in ("Is the engine cold", "Open the drain tap"):  # this step and the next one
        assert held_back not in page.inner_text("body")
    for gone in ("large", "side"):
        assert not page.locator(f"#{gone}").is_visible()
    play.say("confirmed")
    shows(page, play.seq)
    assert not page.locator("#hazard").is_visible()
    assert texts(page, "headline") == ["Is the engine cold to the touch?"]


def test_bolts_are_told_apart_without_colour(begin, look):
    play = begin()
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT, "one by one", "next")
    play.leave_out()
    page = look(play)
    # In the order of the procedure, 1, 3, 2, 4: the first is done, the second left out, the third is next.
    assert texts(page, "counts") == ["● 1 done, ■ 1 now, ○ 3 to do, ⊘ 1 left out"]
    label = page.locator("#map").get_attribute("aria-label")
    assert label == (
        "Bolt map: bolt 2 now 3rd, bolt 1 done, bolt 3 left out, bolt 4 to do, bolt 5 to do, bolt 6 to do hidden"
    )
    marks = page.evaluate(
        "[...document.querySelectorAll('#map g')].map(g => [g.querySelector('title').textContent.split(' ')[0],"
        " g.querySelector('.mark').tagName, Boolean(g.querySelector('.cross')), Boolean(g.querySelector('.cover')),"
        " getComputedStyle(g.querySelector('.mark')).fill === getComputedStyle(document.body).backgroundColor])"
    )
    forms = {number: tuple(form) for number, *form in marks}  # shape, crossed, broken line around it, empty
    assert forms == {
        "1": ("circle", False, False, False), "2": ("rect", False, False, False), "3": ("circle", True, False, True),
        "4": ("circle", False, False, True), "5": ("circle", False, False, True), "6": ("circle", False, True, True),
    }  # fmt: skip
    # Each sits where the layout of the procedure says: 1 left of 2, above 4.
    at = {
        mark["n"]: mark
        for mark in page.evaluate(
            "[...document.querySelectorAll('#map g text')].map("
            "t => ({n: t.textContent, x: +t.getAttribute('x'), y: +t.getAttribute('y')}))"
        )
    }
    assert at["1"]["x"] < at["2"]["x"]
    assert at["1"]["y"] < at["4"]["y"]
    assert at["5"]["y"] < at["1"]["y"]


@pytest.mark.timeout(120)
@pytest.mark.parametrize("size", [PHONE, TABLET, WALL, (1280, 720), (844, 390)])
def test_nothing_is_covered_or_cut_and_what_to_do_is_in_sight(begin, look, size):
    play = begin(touch=True)
    play.display.board.listen_to(lambda: Ear("listening", -40.0))
    page = look(play, size)
    for name, view in scenes(play):
        play.display.board.show(view)
        shows(page, play.seq)
        bars = [page.locator(selector).bounding_box() for selector in ("header", "main", "footer", "#touch")]
        below = 0.0
        for bar in bars:  # one below the other, none over another, all of them in the window
            assert bar["y"] >= below - 0.5, name
            below = bar["y"] + bar["height"]
        assert below <= size[1] + 0.5, name
        main = bars[1]
        asks = page.locator("#hands").is_visible()  # a hand-over has the room of what comes next
        for seen in ("heard-text", "verdict", "ear-text", *(() if asks else ("next", "progress-text"))):
            box = page.locator(f"#{seen}").bounding_box()
            assert bars[2]["y"] <= box["y"] <= box["y"] + box["height"] <= below - bars[3]["height"] + 0.5, (name, seen)
        for seen in ("number", "now", "phrase"):
            box = page.locator(f"#{seen}").bounding_box()
            assert box is None or box["y"] + box["height"] <= main["y"] + main["height"] + 0.5, (name, seen)
        if size == WALL:
            assert page.evaluate("main.scrollHeight <= main.clientHeight"), f"{name} does not fit on the wall"
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], name
        if page.evaluate("main.scrollHeight > main.clientHeight"):
            assert page.locator("main").get_attribute("tabindex") == "0", "what scrolls can be scrolled by keyboard"
        if size == (1280, 720):
            accessible(page)


def test_the_sign_that_nothing_comes_any_more_pushes_nothing_out(begin, look):
    play = begin(touch=True)
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    page = look(play, ends=True)
    play.display.close()
    page.locator("#stale:has-text('NOT UPDATING')").wait_for()
    main, phrase = (page.locator(selector).bounding_box() for selector in ("main", "#phrase"))
    assert phrase["y"] + phrase["height"] <= main["y"] + main["height"] + 0.5
    assert page.evaluate("[...document.querySelectorAll('#touch button')].every(button => button.disabled)")


def test_what_to_say_can_be_read_from_three_metres_on_the_wall(begin, look):
    play = begin(touch=True)
    page = look(play)
    mm = WALL_MM / WALL[0]
    for name, view in scenes(play):
        play.display.board.show(view)
        shows(page, play.seq)
        said = [one for one in letters(page) if one.id in ("say-name", "phrase")]
        assert {one.id for one in said} == {"say-name", "phrase"}, name
        assert all(one.capital * mm >= height_mm(3) for one in said), (name, said)


def test_many_bolts_do_not_push_the_tool_out(begin, look):
    play = begin(touch=True)
    page = look(play)
    play.display.board.show(dict(scenes(play))["eighteen bolts"])
    shows(page, play.seq)
    tool, drawing = (page.locator(f"#{name}").bounding_box() for name in ("tool", "drawing"))
    assert tool["y"] + tool["height"] <= drawing["y"]
    chips = page.locator("#bolts li").all_inner_texts()
    assert len(chips) == 18
    assert "1st" in chips[0]
    assert "18th" in chips[17]
    assert "hidden" in chips[17]


def test_a_refused_word_is_not_shown_as_done(begin, look):
    play = begin(touch=True)
    page = look(play)
    play.say(*TO_FIRST_STEP[:6], "next")
    shows(page, play.seq)
    assert texts(page, "heard-text", "verdict") == ["“next”", "✗ not done"]
    bad, good = (
        page.evaluate(f"getComputedStyle(document.body).getPropertyValue('--{name}')") for name in ("bad", "good")
    )
    colour = page.evaluate("getComputedStyle(document.getElementById('verdict')).color")
    assert colour == "rgb({}, {}, {})".format(*bytes.fromhex(bad.strip().lstrip("#")))
    assert bad != good
    assert page.get_by_role("button", name="Next", exact=True).is_disabled()  # it would do nothing
    assert page.get_by_role("button", name="Repeat").is_enabled()
    play.say("confirmed")
    shows(page, play.seq)
    assert texts(page, "verdict") == ["✓ understood"]


def test_during_a_hand_over_only_what_counts_is_offered(begin, look):
    play = begin(touch=True, operator="Ada Marsh, Bram Osei, Carla Lind")
    page = look(play)
    play.say("hand over", "confirmed")
    shows(page, play.seq)
    assert texts(page, "headline", "phrase") == ["Who takes over?", "operator and the number, or cancel"]
    assert page.locator("#things li").all_inner_texts() == ["operator one: Bram Osei", "operator two: Carla Lind"]
    assert [button.is_enabled() for button in page.locator("#touch [data-press]").all()] == [False, True, False]
    play.say("operator two")
    shows(page, play.seq)
    assert texts(page, "verdict") == ["✓ understood"]
    assert page.locator("#headline").inner_text() != "Who takes over?"


def test_good_news_of_the_equipment_is_not_red(begin, look):
    play = begin()
    page = look(play)
    colour = "getComputedStyle(document.getElementById('notice')).color"
    play.runner.announce("The microphone is gone. Nothing is lost. I keep looking for it.", play.now)
    shows(page, play.seq)
    red = page.evaluate(colour)
    play.runner.announce("The microphone is back. Go on.", play.now, trouble=False)
    shows(page, play.seq)
    assert texts(page, "notice") == ["The microphone is back. Go on."]
    assert page.evaluate(colour) == page.evaluate("getComputedStyle(document.body).color") != red


def test_an_accepted_command_is_seen_at_once(begin, look):
    play = begin()
    page = look(play, TABLET)
    page.evaluate(
        """() => { window.painted = {}; new MutationObserver(() => {
             const seq = document.getElementById('main').dataset.seq;
             requestAnimationFrame(() => setTimeout(() => {
               window.painted[seq] = performance.timeOrigin + performance.now(); }));
           }).observe(document.getElementById('main'), {attributes: true, attributeFilter: ['data-seq']}); }"""
    )
    import time

    took = []
    for phrase in (*TO_FIRST_STEP, "repeat", "yes", "next"):
        began = time.time()
        play.say(phrase)
        shows(page, play.seq)
        page.wait_for_function("seq => seq in window.painted", arg=str(play.seq))
        took.append(1000 * (page.evaluate("seq => window.painted[seq]", str(play.seq)) / 1000 - began))
    print(f"painted after {sorted(round(ms) for ms in took)} ms")
    # The limit is 200 ms; the median, because one slow frame of a busy test machine says nothing about the page.
    assert sorted(took)[len(took) // 2] < 200
