"""Going elsewhere and back on recorded speech: real recognition, and an account of what was done in which order."""

from __future__ import annotations

import pytest
import yaml

from tests.whole_jobs.talks import ROOT, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]


@pytest.fixture(scope="module")
def gone(tmp_path_factory):
    home = tmp_path_factory.mktemp("gone")
    return rehearse("../tests/typed/procedures/waiting-lid", "going-around", home)


def test_every_way_is_heard_as_it_was_said(gone):
    talk = yaml.safe_load((ROOT / "audio_fixtures/going-around.talk.yaml").read_text("utf-8"))
    said = [line if isinstance(line, str) else line["say"] for line in talk["lines"]]
    assert gone.heard == [line.lower() for line in said]


def test_the_job_went_where_it_was_told_to_and_nothing_was_done_by_that(gone):
    ways = [(data["since"], data["place"], data["by_itself"]) for _, kind, data in gone.entries if kind == "went_to"]
    assert ways == [
        ("edges", "pin-in", False),
        ("pin-in", "edges", False),
        ("pin-in", "marked", False),
        ("marked", "pin-in", False),
        ("set", "label", False),
        ("hose", "set", True),
    ]
    assert [data["step"] for _, kind, data in gone.entries if kind == "step_done"] == [
        "level", "marked", "edges", "pin-in", "lid-out", "lid-off", "ring-new", "bead", "lid-on", "lid-in", "lid-tight",
        "label", "hose",
    ]  # fmt: skip
    assert [data["why"] for _, kind, data in gone.entries if kind == "not_gone"] == ["lock_out"]


def test_it_says_what_stays_open_and_what_may_be_done(gone):
    for words in (
        "I do not go there. Not in: shaft pin. First step four.",
        "This is on the way. Caution. The edges are sharp.",
        "One step stays open: three.",
        "While it cures, step fifteen or step sixteen: say go to step fifteen.",
        "Back to where you were. Step twelve of seventeen.",
    ):
        assert words in gone.dialogue
