"""The page in a real browser: what is large, how large, how dark, what it says, and how it behaves."""

import math
import re

import pytest
import yaml
from playwright.sync_api import expect

from assistant.display.board import Ear
from tests.display.browser import PHONE, TABLET, WALL, WALL_MM, shows
from tests.display.play import AFTER_THE_WAIT, NOTHING, ROOT, SHORT, TO_FIRST_STEP, TO_TIGHTENING
from tests.display.scenes import scenes
from tests.display.seen import accessible, letters
from tests.fakes.mechanic import next_words
from tests.whole_jobs.expected import numbers


def height_mm(metres: float, minutes: float = 20.0) -> float:
    """Height that is seen under an angle [minutes of arc] from a distance [m], in mm.

    Formula: h = 2 D tan(a / 2), NUREG-0700 rev. 2, item 1.3.1-4: 16 minutes at least, 20 to 22 preferred.
    """
    return 2000 * metres * math.tan(math.radians(minutes / 60) / 2)


NARROWEST = (320, 640)
"""WCAG 2.2, success criterion 1.4.10: nothing needs scrolling sideways at 320 CSS pixels."""
_MANY = [("hub-drive-reseal", "cover-tight"), ("gearbox-side-cover", "cover-tight")]


def texts(page, *ids):
    return [page.locator(f"#{name}").inner_text().strip() for name in ids]


def test_the_heights_are_those_worked_out_by_hand():
    # 20 minutes of arc: 5.82 mm at 1 m, 17.45 mm at 3 m.
    assert (round(height_mm(1), 2), round(height_mm(3), 2)) == (5.82, 17.45)


@pytest.mark.timeout(90)
def test_all_can_be_read_from_where_it_must_be_and_nothing_is_pale(begin, look):
    play = begin(touch=True)
    play.display.board.listen_to(lambda: Ear("listening", -40.0))
    page = look(play)
    mm = WALL_MM / WALL[0]
    seen = {}

    def judge(large: str) -> None:
        shows(page, play.seq)
        for theme in ("light", "dark"):
            page.evaluate("theme => document.documentElement.dataset.theme = theme", theme)
            pieces = letters(page)
            assert large in {one.id for one in pieces}
            for one in pieces:
                assert one.contrast >= 7.0, (theme, one)
                assert one.capital * mm >= height_mm(1), (theme, one)
                if one.id == large:
                    assert one.capital * mm >= height_mm(3), (theme, one)
                seen[one.id] = min(one.capital * mm, seen.get(one.id, 99))
        assert page.evaluate("document.documentElement.scrollWidth") <= WALL[0]
        assert page.evaluate("document.documentElement.scrollHeight") <= WALL[1], "it does not fit on the wall"

    judge("things")
    play.say(*TO_FIRST_STEP[:6])
    judge("word-text")
    play.say("confirmed")
    judge("word-text")
    play.say("confirmed")
    judge("headline")
    play.say(*TO_TIGHTENING[8:])
    judge("clock")
    play.pass_time(31)
    play.say("next")
    judge("number")
    play.say(*AFTER_THE_WAIT[1:], NOTHING)
    judge("number")
    play.say("one by one", "next")
    play.leave_out()
    judge("number")
    play.say("skip this")
    judge("headline")
    play.say("cancel")
    play.say("pause")
    judge("headline")
    accessible(page)
    print({name: round(height, 1) for name, height in sorted(seen.items())})
    # All kinds of text were there to be measured.
    assert seen.keys() >= {
        "title", "place", "word-text", "danger", "avoid", "group-name", "number", "unit", "now", "map", "stage",
        "tool-text", "clock", "heard-text", "verdict", "next", "progress-text", "ear-text", "phrase", "touch",
    }  # fmt: skip


@pytest.mark.parametrize(("name", "step"), _MANY)
def test_many_bolts_can_be_read_too(begin, look, name, step):
    play = begin(ROOT / "procedures" / f"{name}.yaml")
    while play.runner.session.view(play.now)["place"] != step or play.runner.session.view(play.now)["hazard"]:
        words = next_words(play.runner.session.view(play.now))
        if words is None:
            play.pass_time(600)
        else:
            play.say(words)
    play.say("next")
    page = look(play)
    mm = WALL_MM / WALL[0]
    pieces = letters(page)
    assert all(one.capital * mm >= height_mm(1) and one.contrast >= 7.0 for one in pieces)
    assert page.evaluate("document.documentElement.scrollHeight") <= WALL[1]
    # Every bolt of the stage is on the map, and the number of each that is meant can be read on it.
    file = yaml.safe_load((ROOT / "procedures" / f"{name}.yaml").read_text("utf-8"))
    steps = {one["id"]: one for part in file["chapters"] for one in part["steps"]}
    used = {run["group"] for run in steps[step]["stages"][0]["runs"]}
    bolts = [bolt for group in file["groups"] if group["id"] in used for bolt in numbers(group["bolts"])]
    drawn = page.evaluate("[...document.querySelectorAll('#map title')].map(t => parseInt(t.textContent))")
    assert sorted(drawn) == sorted(bolts)
    beside = [text for text in page.locator("#map .beside").all_text_contents() if text != "hidden"]
    assert len(beside) == len(texts(page, "now")[0].split(","))  # each that is meant has its place in the order
    meant = {number.strip() for number in texts(page, "now")[0].removeprefix("Bolts").split(",")}
    assert meant <= {one.text for one in pieces if one.id == "map"}


def test_the_value_stands_out_over_everything_else(begin, look):
    play = begin()
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    pieces = letters(look(play))
    number = next(one for one in pieces if one.id == "number")
    assert number.text == "5"
    assert all(one.capital < number.capital / 1.5 for one in pieces if one.id != "number")


@pytest.mark.parametrize(("size", "scheme"), [(NARROWEST, "light"), (TABLET, "dark")])
def test_axe_finds_nothing_and_nothing_lies_outside(begin, look, size, scheme):
    play = begin(touch=True)
    play.display.board.listen_to(lambda: Ear("hearing you", -30.0))
    page = look(play, size, color_scheme=scheme)

    def judge() -> None:
        shows(page, play.seq)
        accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert all(one.contrast >= 7.0 for one in letters(page))

    judge()
    play.say(*TO_FIRST_STEP[:7])
    judge()
    play.say("confirmed", *TO_TIGHTENING[8:])
    judge()
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    judge()


@pytest.mark.parametrize("size", [PHONE, WALL])
def test_text_grows_to_200_percent_and_nothing_is_lost(begin, look, size):
    play = begin(touch=True)
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    page = look(play, size)
    before = letters(page)
    page.get_by_text("Menu").click()
    for _ in range(4):
        page.get_by_role("button", name="Larger text").click()
    page.get_by_text("Menu").click()
    assert play.presses == []  # nothing that moves the job slips under the finger while the page grows
    after = letters(page)
    drawn = {"map", "counts"}  # a list, which can grow, takes their place
    assert not page.locator("#map").is_visible()
    assert page.locator("#bolts li").all_inner_texts() == [
        "1 now, 1st", "3 now, 2nd", "2 now, 3rd", "4 now, 4th", "5 to do", "6 to do, hidden",
    ]  # fmt: skip
    grown = {(one.id, one.text): one.capital for one in after}
    for small in before:
        if small.id not in drawn:
            limit = 1.1 if small.id in ("number", "unit") else 1.99  # those fill the screen already
            assert grown[small.id, small.text] >= limit * small.capital, small
    for big in after:
        assert big.left >= 0, big
        assert big.right <= size[0] + 1, big
    accessible(page)


@pytest.mark.parametrize("text", [100, 200])
def test_no_word_of_the_large_line_is_broken_and_a_value_keeps_its_unit_beside_it(begin, look, text):
    play = begin()
    page = look(play, (360, 740), f"?text={text}")
    lines = """id => { const range = document.createRange(); const node = document.getElementById(id).firstChild;
      const words = []; for (const found of node.textContent.matchAll(/\\S+/g)) {
        range.setStart(node, found.index); range.setEnd(node, found.index + found[0].length);
        words.push(range.getClientRects().length); } return words; }"""
    play.say(*TO_FIRST_STEP)
    shows(page, play.seq)
    assert set(page.evaluate(lines, "headline")) == {
        1
    }  # each word of "Is the engine cold to the touch?" is in one piece
    play.say(*TO_TIGHTENING[8:])
    shows(page, play.seq)
    assert page.evaluate(lines, "clock") == [1]
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT, "use pound feet")
    shows(page, play.seq)
    assert texts(page, "number", "unit", "next") == ["3.68", "lbf·ft", "Bolts 5, 6, 3.68 lbf·ft"]
    number, unit = (page.locator(f"#{name}").bounding_box() for name in ("number", "unit"))
    assert (unit["y"] > number["y"] + number["height"] / 2 and text > 100) or unit["x"] >= number["x"] + number["width"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_two_hundred_bolts_without_a_layout_stand_in_three_entries(begin, look):
    play = begin()
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    view = play.runner.session.view(play.now)
    bolts = {"current": [*range(60, 68)], "done": [*range(7, 60)], "todo": [*range(68, 201)], "skipped": []}
    play.display.board.show({**view, "tighten": {**view["tighten"], **bolts}})
    page = look(play)
    assert page.locator("#bolts li").all_inner_texts() == ["60–67 now", "7–59 done", "68–200 to do"]


def test_it_can_be_used_by_keyboard_alone(begin, look):
    play = begin(touch=True)
    page = look(play)
    names = []
    for _ in range(9):
        page.keyboard.press("Tab")
        names.append(page.evaluate("document.activeElement.textContent.trim()"))
        if names == ["Menu"]:
            page.keyboard.press("Enter")
    assert names == [
        "Menu", "Jobs", "Procedures", "Light or dark", "Smaller text", "Larger text", "Next", "Repeat", "Pause",
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
    assert page.locator("img, main script").count() == 0
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
        for seen in ("heard-text", "verdict", "ear-text", "next", "progress-text"):
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
    assert [button.is_enabled() for button in page.locator("#touch button").all()] == [False, True, False]
    play.say("operator two")
    shows(page, play.seq)
    assert texts(page, "verdict") == ["✓ understood"]
    assert page.locator("#headline").inner_text() != "Who takes over?"


def test_good_news_of_the_equipment_is_not_red(begin, look):
    play = begin()
    page = look(play)
    colour = "getComputedStyle(document.getElementById('notice')).color"
    play.runner.announce("The microphone is gone. The job is kept. I keep looking for it.", play.now)
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
