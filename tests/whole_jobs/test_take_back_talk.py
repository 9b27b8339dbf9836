"""A recorded talk in which confirmations are taken back, through the real recogniser."""

from __future__ import annotations

import pytest
import yaml

from tests.whole_jobs.talks import ROOT, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]


@pytest.fixture(scope="module")
def spoken(tmp_path_factory):
    return rehearse("gearbox-side-cover", "take-back", tmp_path_factory.mktemp("back"))


def test_every_word_is_heard_as_it_was_said(spoken):
    talk = yaml.safe_load((ROOT / "audio_fixtures/take-back.talk.yaml").read_text("utf-8"))
    assert spoken.heard == talk["lines"]


def test_what_was_confirmed_is_taken_back_in_turn_and_what_was_cancelled_is_not(spoken):
    back = [data["place"] for kind, data in spoken.facts if kind == "taken_back"]
    assert back == ["cover-out", "lift-off", "end-out"]
    counted = [(data["step"], data["count"], data["repeated"]) for kind, data in spoken.facts if kind == "counted"]
    assert counted == [
        ("cover-out", 12, False), ("cover-out", 12, False), ("end-out", 2, False), ("end-out", 2, False),
    ]  # fmt: skip
    assert spoken.code == 3, "the job stays open"
