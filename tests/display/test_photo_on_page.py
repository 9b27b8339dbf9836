"""A drawing and what is locked, as a browser shows them at all sizes."""

from __future__ import annotations

import pytest

from tests.devices.waiting import until
from tests.display.browser import PHONE, TABLET, WALL, shows
from tests.display.seen import accessible
from tests.display.test_gates_shown import GATED


@pytest.mark.parametrize("size", [WALL, TABLET, PHONE])
def test_a_drawing_is_seen_beside_its_step_and_nothing_lies_outside(begin, look, size):
    play = begin(GATED, operator="Ada Marsh, Ben Osei")
    page = look(play, size)
    play.say("next", "next", "next", "next", "next")
    shows(page, play.seq)
    assert page.locator("#locked-text").inner_text() == "crank pin, cam bar"
    assert page.locator("#locked").is_visible()
    assert not page.locator("#photo").is_visible()
    accessible(page)
    play.say("yes", "operator one", "i have seen it", "reading zero point two five", "confirmed", "next", "next")
    play.say("next", "next", "filled eleven")
    shows(page, play.seq)
    photo = page.locator("#photo")
    photo.wait_for(state="visible")
    until(lambda: photo.evaluate("one => one.complete && one.naturalWidth > 0"), "the drawing")
    assert photo.evaluate("one => [one.naturalWidth, one.naturalHeight]") == [240, 160]
    assert photo.get_attribute("alt") == "Picture level-pin.png"
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    if size == WALL:
        box = photo.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= size[1]
    accessible(page)
    play.say("yes")
    shows(page, play.seq)
    assert not photo.is_visible()
