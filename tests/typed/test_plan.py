"""The plan by voice across a break: the cure runs on while nobody is there, and only work counts for the booking."""

from __future__ import annotations

from tests.typed.play import ROOT, play

LID = (ROOT / "tests/typed/procedures/waiting-lid.yaml").read_text("utf-8")
BOOKED = LID.replace("hazard_scheme: ansi", "hazard_scheme: ansi\n  book_time: 20 min")
TO_THE_CURE = [
    *["next"] * 5, "yes", "next", "confirmed", "next", "next", "count four", "next", "count one", "next", "next",
    "count four", "next",
]  # fmt: skip


def test_a_job_that_is_taken_up_in_the_middle_of_a_cure_goes_on_with_its_plan(tmp_path):
    before = play(LID, [*TO_THE_CURE, "what is the plan"], home=tmp_path)
    assert "First step fifteen. During the wait, step sixteen." in before.said[-1]
    then = play(LID, ["what is the plan"], "--job", "last", home=tmp_path, begin="2026-12-01T08:20")
    # The cure began at about two minutes past eight: a quarter of an hour is left of it, and the label has its room.
    assert "First step fifteen. During the wait, step sixteen. Done not before half past eight." in then.said[-1]
    late = play(LID, ["what is the plan"], "--job", "last", home=tmp_path, begin="2026-12-01T09:20")
    assert "First step thirteen, then step fourteen." in late.said[-1]
    assert "wait" not in late.said[-1].split("First")[1]


def test_what_was_worked_counts_for_the_booking_and_a_pause_does_not():
    asked = play(BOOKED, [*TO_THE_CURE, "what is the plan"])
    # By hand: about two minutes of work, and thirty of cure, against twenty that are booked: twelve over.
    assert "At least ten minutes over the booking." in asked.said[-1]
    paused = play(BOOKED, [*TO_THE_CURE, "pause", "+20 min", "carry on", "what is the plan"])
    assert "over the booking" not in paused.said[-1]  # ten minutes of the cure are left, and the pause is nobody's work
    worked = play(BOOKED, [*TO_THE_CURE, "+20 min", "what is the plan"])
    assert "At least ten minutes over the booking." in worked.said[-1]


def test_when_the_job_is_over_is_one_estimate():
    asked = play(BOOKED, [*TO_THE_CURE, "when are we done"])
    assert "At least half an hour" in asked.said[-1] or "At least thirty minutes" in asked.said[-1]
    assert "At least ten minutes over the booking." in asked.said[-1]


def test_an_open_time_that_cannot_be_kept_any_more_is_said():
    asked = play(LID, [*TO_THE_CURE[:-4], "next", "+8 min", "what is the plan"])
    assert "Too little is left: open time." in asked.said[-1]
    assert "First step nine" in asked.said[-1]


def test_who_helps_is_known_to_the_plan_when_the_job_is_taken_up_again(tmp_path):
    frame = (ROOT / "tests/typed/procedures/shared-frame.yaml").read_text("utf-8")
    before = play(frame, ["somebody helps", "next", "next", "next", "what is the plan"], home=tmp_path)
    assert "First step one, then step three. The helper does step two." in before.said[-1]
    then = play(frame, ["what is the plan"], "--job", "last", home=tmp_path, begin="2026-12-01T08:20")
    assert "First step one, then step three. The helper does step two." in then.said[-1]
