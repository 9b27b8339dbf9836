"""The plan on the page: bars on an axis beside a wait, in a real browser at all sizes, and told by more than looks."""

from __future__ import annotations

import pytest

from assistant.display.plan import plan_picture
from tests.display.browser import PHONE, TABLET, WALL, shows
from tests.display.play import ROOT
from tests.display.seen import accessible, letters

LID = ROOT / "tests/typed/procedures/waiting-lid.yaml"
TO_THE_CURE = [
    *["next"] * 5, "yes", "next", "confirmed", "next", "next", "count four", "next", "count one", "next", "next",
    "count four", "next",
]  # fmt: skip


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (TABLET, "dark"), (WALL, "light")])
def test_while_something_cures_the_next_steps_are_bars_beside_its_clock(begin, look, size, scheme, tmp_path):
    play = begin(LID)
    page = look(play, size, color_scheme=scheme)
    assert not page.locator("#plan").is_visible()
    play.say(*TO_THE_CURE)
    shows(page, play.seq)
    rows = page.locator("#plan li").all_text_contents()
    assert rows[0].startswith("15. Write the label., open, 0:00 to 0:04")
    assert rows[1].startswith("… 12. Let the sealant cure. ◆, waits, 0:00 to 0:30, holds up the end")
    assert page.locator("#plan-title").inner_text().startswith("Plan: at least 0:30 to the end, held up by ◆; 4 more")
    assert page.locator("#plan-marks span").all_text_contents() == ["0:00", "0:10", "0:20"]
    wide = [page.locator("#plan rect").nth(at).bounding_box()["width"] for at in (0, 1)]
    assert wide[0] == pytest.approx(wide[1] * 4 / 30, rel=0.1)  # four minutes of thirty
    accessible(page)
    assert all(one.contrast >= 7.0 for one in letters(page))
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    page.screenshot(path=tmp_path / "plan.png")
    # Somewhere else in that time, it is still there, with what is done now marked.
    play.say("go to step fifteen")
    shows(page, play.seq)
    assert page.locator("#plan li.now").inner_text().startswith("▶ 15. Write the label.")
    # Behind the wait nothing waits any more.
    play.pass_time(31 * 60)
    play.say("back to where i was", "next")
    shows(page, play.seq)
    assert not page.locator("#plan").is_visible()


def test_the_plan_is_not_made_anew_at_every_word(begin):
    play = begin(LID)
    play.say(*TO_THE_CURE)
    # A plan is made anew for each minute of the clock: the words of this test all fall into one.
    play.pass_time(61 - play.now % 60)
    play.say("where am i")
    job = play.runner.session.standing(play.now).job
    made = job.last_plan[1]
    play.say("where am i", "what is left", "repeat")
    assert job.last_plan[1] is made
    play.pass_time(61)
    play.say("where am i")
    assert job.last_plan[1] is not made  # a minute later, less of the cure is left


def test_a_step_without_a_time_says_so_and_a_long_text_is_cut():
    row = {"number": 3, "closing": True, "text": "Look " * 20, "start": 0, "end": 0, "waits": False, "now": False}
    row |= {"people": 1, "by_helper": False}
    plan = {
        "seconds": 600,
        "late": ["open time"],
        "lacking": [],
        "more": 0,
        "unknown": 0,
        "rows": [{**row, "holds_up": False, "known": False, "estimated": False}],
    }
    shown = plan_picture(plan)
    assert shown["rows"][0]["times"] == "no time"
    assert shown["rows"][0]["label"].endswith("…")
    assert shown["title"] == "Plan: 0:10 to the end. Too little is left: open time."
    guessed = plan_picture({**plan, "rows": [{**row, "end": 90, "holds_up": False, "known": True, "estimated": True}]})
    assert guessed["rows"][0]["times"] == "0:00 to 0:02, estimated"
    given = {**row, "end": 60, "holds_up": False, "known": True, "estimated": False}
    shared = plan_picture(
        {**plan, "lacking": ["hoist"], "rows": [{**given, "by_helper": True}, {**given, "people": 2}]}
    )
    assert [one["times"] for one in shared["rows"]] == ["0:00 to 0:01, by the helper", "0:00 to 0:01, 2 people"]
    assert shared["title"].endswith("Missing: hoist.")
    assert plan_picture(None) is None
