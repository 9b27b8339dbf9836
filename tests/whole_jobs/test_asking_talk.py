"""Questions on recorded speech: real recognition, and a job that is moved by nothing but its own words."""

from __future__ import annotations

import pytest
import yaml

from tests.whole_jobs.talks import ROOT, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]
UNKNOWN = ("find the short bolts", "when is the job")
"""What the model does not hear as a phrase, or is none: what may have been meant is asked."""


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    return rehearse("../tests/typed/procedures/asking", "asking", tmp_path_factory.mktemp("asked"))


def test_every_question_is_heard_as_it_was_said(asked):
    talk = yaml.safe_load((ROOT / "audio_fixtures/asking.talk.yaml").read_text("utf-8"))
    assert asked.heard == [line for line in talk["lines"] if line not in UNKNOWN]


def test_nothing_but_next_confirmed_and_a_reading_moved_the_job(asked):
    moved = [data["place"] for _, kind, data in asked.entries if kind == "arrived"]
    assert moved == ["conditions:1", "persons:1", "equipment:1", "open", "gap", "heat", "cool"]
    assert [kind for kind, _ in asked.facts] == [
        "prepared", "prepared", "prepared", "reminder_set", "step_done", "hazard_acknowledged", "reading", "step_done",
        "reminder_set", "step_done", "timer_started", "reminder_ended", "reminders_dropped",
    ]  # fmt: skip


def test_they_are_answered(asked):
    for words in (
        "Dirt on the rim would get into the bearing.",
        "Closing step one. Are all the tools back in their places?",
        "At least forty-five minutes.",
        "Did you mean: where are the short bolts?",
        "Short lid bolts: between the long ones.",
        "Eight millimetre: four. Six millimetre: eight.",
        "The last reading: zero point two millimetres. In step two.",
        "Did you mean: when is the job over?",
        "A reminder: one minute is over. You asked for it in step one.",
        "I remind you in",
        "The reminder is dropped.",
    ):
        assert words in asked.dialogue
