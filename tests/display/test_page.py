"""The page in a real browser: what is large, how large, how dark, and that nothing of it is lost or broken."""

import pytest
import yaml

from assistant.display.board import Ear
from tests.display.browser import PHONE, TABLET, WALL, WALL_MM, shows
from tests.display.play import AFTER_THE_WAIT, NOTHING, ROOT, TO_FIRST_STEP, TO_TIGHTENING
from tests.display.seen import accessible, height_mm, letters, texts
from tests.fakes.mechanic import next_words
from tests.whole_jobs.expected import numbers

NARROWEST = (320, 640)
"""WCAG 2.2, success criterion 1.4.10: nothing needs scrolling sideways at 320 CSS pixels."""
_MANY = [("hub-drive-reseal", "cover-tight"), ("gearbox-side-cover", "cover-tight")]


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
