"""Handing a job over by touch: asked for, read back, confirmed by a second press; the same facts as by voice."""

from __future__ import annotations

import json
import os
import time
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from assistant.events import Source
from tests.display.browser import PHONE, WALL, shows
from tests.display.play import TO_FIRST_STEP
from tests.display.seen import accessible, letters
from tests.display.wire import ask

PEOPLE = "Ada Marsh, Bram <b>Osei</b>, Carla Lind"


def stored(play):
    """Return what the journal has of a job since it was opened, without times and without how sure a word was."""
    entries, verdict = play.journal.read(play.job.id)
    assert verdict.good
    loose = {"at_ms", "source", "confidence", "started_ms", "ended_ms", "unsaid_words", "duration_ms"}
    return [
        (entry.kind, {name: value for name, value in entry.data.items() if name not in loose})
        for entry in entries[1:]
    ]  # fmt: skip


def press(play, name, **more):
    asked = json.dumps({"press": name, "boot": play.display.board.boot, "seq": play.seq} | more).encode()
    host = play.display.link.split("/")[2]
    return ask(play.display.link, "/press", "POST", asked, origin=f"http://{host}")


def seen_well(page, size, name):
    accessible(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert all(one.contrast >= 7.0 for one in letters(page))
    for button in page.locator("#hands button").all():
        assert button.bounding_box()["height"] >= 58, "it is for gloves"
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=f"{folder}/hand-over-{name}-{size[0]}.png")


@pytest.mark.parametrize("size", [PHONE, WALL], ids=["phone", "wall"])
def test_by_touch_a_job_is_handed_over_as_it_is_by_voice(begin, look, size):
    spoken, touched = begin(touch=True, operator=PEOPLE), begin(touch=True, operator=PEOPLE)
    for play in (spoken, touched):
        play.say(*TO_FIRST_STEP)
    said = len(touched.said.getvalue())
    spoken.say("hand over", "confirmed", "operator two")
    page = look(touched, size, has_touch=True)
    asks = page.get_by_role("button", name="Hand over")
    expect(asks).to_be_hidden()
    page.get_by_text("Menu").tap()
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=f"{folder}/hand-over-menu-{size[0]}.png")
    asks.tap()
    expect(page.locator("#headline")).to_have_text("Hand the job over? Say confirmed.")
    seen_well(page, size, "sure")
    expect(page.get_by_role("button", name="Cancel")).to_be_visible()
    page.get_by_role("button", name="Confirmed").tap()
    expect(page.locator("#headline")).to_have_text("Who takes over?")
    assert page.locator("#hands button").all_inner_texts() == [
        "Bram <b>Osei</b> takes over", "Carla Lind takes over", "Cancel",
    ]  # fmt: skip
    seen_well(page, size, "who")
    page.get_by_role("button", name="Carla Lind takes over").tap()
    expect(page.locator("#hands")).to_be_hidden()
    assert touched.presses == ["hand over", "confirmed", "operator two"]
    assert [kind for kind, _ in stored(touched)] == [kind for kind, _ in stored(spoken)]
    assert stored(touched) == stored(spoken), "the same facts"
    handed = dict(stored(touched))["handed_over"]
    assert (handed["left_by"], handed["taken_by"]) == ("Ada Marsh", "Carla Lind")
    assert touched.said.getvalue()[said:] == spoken.said.getvalue()[said:].replace("(0.95)", "(touch)"), (
        "the same words"
    )
    assert "Carla Lind. You take over from Ada Marsh." in touched.said.getvalue()


def test_confirmed_can_be_pressed_a_moment_later_so_that_a_double_tap_confirms_nothing(begin, look):
    play = begin(touch=True, operator=PEOPLE)
    play.say(*TO_FIRST_STEP)
    page = look(play, PHONE, has_touch=True)
    page.clock.install()
    page.clock.pause_at(datetime.now(UTC) + timedelta(seconds=1))
    page.get_by_text("Menu").tap()
    page.get_by_role("button", name="Hand over").tap()
    sure = page.get_by_role("button", name="Confirmed")
    expect(sure).to_be_disabled()
    box = sure.bounding_box()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)  # the second tap of a finger
    page.clock.run_for(599)
    expect(sure).to_be_disabled()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.clock.run_for(1)
    expect(sure).to_be_enabled()
    assert play.presses == ["hand over"]
    page.get_by_role("button", name="Cancel").tap()
    expect(page.locator("#hands")).to_be_hidden()
    assert play.presses == ["hand over", "cancel"]
    assert "handed_over" not in dict(stored(play))


def test_by_keyboard_it_goes_on_at_what_does_nothing(begin, look):
    play = begin(touch=True, operator="Ada Marsh, Bram Osei")
    page = look(play)
    page.locator("#menu summary").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Hand over").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Cancel")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#hands")).to_be_hidden()
    assert play.presses == ["hand over", "cancel"]
    play.say("hand over", "confirmed")
    expect(page.locator("#hands button").first).to_have_text("Bram Osei takes over")
    page.locator("#hands button").first.press("Enter")
    expect(page.locator("#hands")).to_be_hidden()
    assert play.presses[-1] == "take over"


def test_only_whoever_may_press_can_hand_over(begin, look):
    play = begin(operator=PEOPLE)
    page = look(play)
    page.get_by_text("Menu").click()
    expect(page.get_by_role("button", name="Light or dark")).to_be_visible()
    expect(page.get_by_role("button", name="Hand over")).to_have_count(0)
    assert press(play, "hand_over").status == 403


def test_no_button_of_it_counts_where_it_is_not_shown(begin):
    play = begin(touch=True, operator=PEOPLE)
    for name in ("confirmed", "cancel", "take_over", "operator_1", "operator_two", "yes"):
        assert press(play, name).status == 400, name
    play.say(*TO_FIRST_STEP[:6])
    assert play.runner.session.view(play.now)["hazard"]
    assert press(play, "confirmed").status == 400, "a hazard is confirmed by voice or key"
    assert play.runner.session.view(play.now)["hazard"]
    play.say("confirmed", "confirmed", "hand over", "confirmed")
    for name in ("operator_3", "operator_0", "confirmed", "hand_over"):
        assert press(play, name).status == 400, name
    assert press(play, "operator_1", seq=play.seq - 1).status == 409
    assert play.presses == []
    assert press(play, "operator_1").status == 200
    assert dict(stored(play))["handed_over"]["taken_by"] == "Bram <b>Osei</b>"


def test_a_press_that_comes_behind_what_was_said_confirms_nothing_else(begin):
    play = begin(touch=True, operator=PEOPLE)
    play.say(*TO_FIRST_STEP[:5], "hand over")
    assert play.runner.handing(play.now) == "sure"
    play.inbox.pressed("confirmed", Source.TOUCH, "sure")  # it waits, while somebody says something else
    play.say("cancel", "next")
    before = play.runner.session.view(play.now)
    assert before["hazard"]
    note = play.inbox.take(1.0)
    assert note is not None
    note(play.runner, max(play.now, time.time()))
    assert play.runner.session.view(play.now)["hazard"] == before["hazard"]
    assert "handed_over" not in dict(stored(play))
    # The same press without it would have confirmed the hazard.
    play.inbox.pressed("confirmed", Source.TOUCH)
    note = play.inbox.take(1.0)
    assert note is not None
    note(play.runner, max(play.now, time.time()))
    assert play.runner.session.view(play.now)["hazard"] != before["hazard"]


def test_a_question_that_runs_out_takes_its_buttons_along(begin, look):
    play = begin(touch=True, operator=PEOPLE)
    page = look(play)
    play.say("hand over")
    shows(page, play.seq)
    expect(page.get_by_role("button", name="Confirmed")).to_be_visible()
    play.pass_time(60)
    shows(page, play.seq)
    expect(page.locator("#hands")).to_be_hidden()
    expect(page.get_by_role("button", name="Confirmed")).to_have_count(0)
