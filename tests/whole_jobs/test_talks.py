"""Whole jobs on recorded speech: real recognition, real speech, the real command, and the journal that they leave."""

import json
from collections import defaultdict

import pytest
import soundfile
import yaml

from tests.whole_jobs.expected import Expected
from tests.whole_jobs.talks import ROOT, differences, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    return rehearse("coolant-pump-cover", "coolant-pump-cover", tmp_path_factory.mktemp("clean"))


@pytest.fixture(scope="module")
def loud(tmp_path_factory):
    return rehearse("coolant-pump-cover", "coolant-pump-cover-loud", tmp_path_factory.mktemp("loud"))


@pytest.fixture(scope="module")
def long(tmp_path_factory):
    return rehearse("hub-drive-reseal", "hub-drive-reseal", tmp_path_factory.mktemp("long"))


def test_a_clear_talk_closes_the_job_and_the_journal_holds_each_fact(clean):
    expected = yaml.safe_load((ROOT / "tests/whole_jobs/coolant-pump-cover.facts.yaml").read_text("utf-8"))
    assert differences(clean.facts, expected) == []
    assert clean.code == 0


def outcome(facts):
    """Return what is true at the end, however it came about: the last word on each step, count, part and bolt."""
    ends = {}
    bolts = defaultdict(set)
    for kind, data in facts:
        if kind == "tightened":
            bolts[data["step"], data["stage"]] |= {(bolt, json.dumps(data["target"])) for bolt in data["bolts"]}
        elif kind == "hazard_acknowledged":
            ends[kind, data["place"], data["number"]] = True
        elif kind == "counted":
            ends[kind, data["step"]] = (data["count"], data["expected"])
        elif kind in ("step_done", "check_answered", "part_fitted", "reading", "stage_done", "skipped", "closed"):
            at = data.get("step") or data.get("place")
            ends[kind, at, data.get("stage")] = (data.get("yes"), data.get("value"), data.get("count"))
    return ends, dict(bolts)


def test_chatter_coughs_and_wrong_words_end_in_the_same_state(clean, loud):
    assert outcome(loud.facts) == outcome(clean.facts)
    assert loud.code == 0


def test_in_the_loud_talk_nobody_passed_a_hazard_or_a_wrong_count(loud):
    assert [data for kind, data in loud.facts if kind in ("deviation", "skipped")] == []
    assert all(data["count"] == data["expected"] for kind, data in loud.facts if kind == "counted")
    assert loud.dialogue.count("Next does not pass a hazard.") == 2
    assert "You count three. That does not agree." in loud.dialogue


def joined(facts):
    """Put together what was confirmed of one run in several breaths (a long order is spoken four things at a time)."""
    out = []
    for kind, data in facts:
        if out and kind == out[-1][0] == "tightened" and same_run(data, out[-1][1]):
            out[-1] = (kind, data | {"bolts": out[-1][1]["bolts"] + data["bolts"]})
        else:
            out.append((kind, data))
    return out


def same_run(one, other):
    return all(one[key] == other[key] for key in ("step", "stage", "run"))


def test_the_long_job_is_kept_entry_by_entry_as_the_procedure_file_has_it(long):
    expected = Expected(ROOT / "procedures/hub-drive-reseal.yaml", waits_skipped=True).facts
    expected += [{"asked": {"question": {"what": "finish"}}}, {"closed": {}}]
    facts = [(kind, data) for kind, data in long.facts if kind not in ("timer_ended", "timer_warned")]
    assert differences(joined(facts), expected) == []
    assert long.code == 0


def test_the_steps_left_out_of_the_long_job_stay_open_with_their_reason(long):
    skipped = {data["place"]: data["reason"] for kind, data in long.facts if kind == "skipped"}
    assert set(skipped) == {"cool-down", "dry", "cure"}
    assert all(reason.strip() for reason in skipped.values())
    assert set(long.facts[-1][1]["left_out"]) == {"cool-down", "dry", "cure"}


@pytest.mark.parametrize("job", ["clean", "long"])
def test_the_spoken_side_is_as_long_as_the_dialogue_and_is_not_silent(job, request):
    rehearsed = request.getfixturevalue(job)
    samples, rate = soundfile.read(rehearsed.spoken)
    stamp = rehearsed.dialogue.strip().splitlines()[-1].split()[0].split(":")
    assert samples.size / rate == pytest.approx(int(stamp[0]) * 60 + int(stamp[1]), abs=2)
    assert abs(samples).max() > 0.1


def test_no_word_was_recorded_that_the_talk_does_not_have(clean):
    talk = yaml.safe_load((ROOT / "audio_fixtures/coolant-pump-cover.talk.yaml").read_text("utf-8"))
    said = [line for line in talk["lines"] if isinstance(line, str)]
    assert clean.heard == said
