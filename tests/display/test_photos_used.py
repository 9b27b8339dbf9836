"""Photos on the page, in a real browser with a camera that Chromium plays (its fake device shows a green picture)."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.events import Source
from assistant.facts.photos import PhotoTaken
from tests.devices.waiting import until
from tests.display.browser import PHONE, WALL, shows
from tests.display.seen import accessible
from tests.pictures.samples import PHOTOGRAPHED, photo


@pytest.mark.parametrize("size", [PHONE, WALL])
def test_a_page_takes_photos_by_touch_and_by_voice_and_shows_them_where_things_go_back(begin, look, tmp_path, size):
    play = begin(PHOTOGRAPHED, touch=True)
    play.say("next")
    page = look(play, size)
    file = tmp_path / "taken.jpg"
    file.write_bytes(photo(size=(3000, 2000)))
    with page.expect_file_chooser() as chooser:
        page.locator("#snap").click()
    chooser.value.set_files(file)  # as a phone does with what its camera took
    play.take()
    shows(page, play.seq)
    large = page.locator("#taken-photo")
    large.wait_for(state="visible")
    until(lambda: large.evaluate("one => one.complete && one.naturalWidth"), "the photo")
    assert large.evaluate("one => [one.naturalWidth, one.naturalHeight]") == [1280, 1920]  # upright
    assert page.locator("#taken-name").inner_text() == "Photo 1, step 1"
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert page.locator("#photo-answer").inner_text() == ""

    page.locator("#menu summary").click()
    page.locator("#page-camera").click()
    until(lambda: page.locator("#viewfinder").evaluate("one => one.videoWidth > 0"), "the camera of the page")
    assert page.locator("#page-camera").inner_text() == "Camera off"
    play.say("count four", "photo")
    while len(taken := [entry.fact for entry in play.job.entries() if isinstance(entry.fact, PhotoTaken)]) < 2:
        play.take()  # on a busy machine somebody is asked to press before the page has sent it
    assert [(one.number, one.step) for one in taken] == [(1, "bolts-out"), (2, "cover-off")]
    play.pass_time(10)
    play.say("next", "no photo")
    play.say("the lamp is broken", source=Source.KEY)
    play.say("end note", "confirmed", "yes")
    play.say("next")
    shows(page, play.seq)
    before = page.locator("#before figure")
    until(lambda: before.count() == 1, "the photo of before")
    assert before.locator("figcaption").inner_text() == "Before: Photo 2, step 2"
    assert not large.is_visible()
    accessible(page)


def test_a_page_without_a_camera_of_its_own_is_told_what_to_press(begin, look, tmp_path: Path):
    play = begin(PHOTOGRAPHED, touch=True)
    play.say("next")
    page = look(play, PHONE, ends=True)  # the browser says what was refused
    play.say("photo")
    note = play.inbox.take(20.0)
    assert note is not None
    note(play.runner, play.now)
    shows(page, play.seq)
    assert "Press photo on the page." in play.said.getvalue()
    until(lambda: "wanted" in (page.locator("#snap").get_attribute("class") or ""), "the button to stand out")
    play.say("repeat")
    shows(page, play.seq)
    assert "wanted" in (page.locator("#snap").get_attribute("class") or ""), "it stands out until it is pressed"
    (tmp_path / "no.jpg").write_bytes(b"no photo at all")
    with page.expect_file_chooser() as chooser:
        page.locator("#snap").click()
    chooser.value.set_files(tmp_path / "no.jpg")
    until(lambda: "no photo that can be read" in page.locator("#photo-answer").inner_text(), "the reason on the page")
