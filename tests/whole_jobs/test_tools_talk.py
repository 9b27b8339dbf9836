"""A whole job on recorded speech with the tools of the bay: crowfoot, readings, pound-feet, and a killed process.

What must come out is worked out here from the procedure file, the tool file and the trade's formulas alone.
"""

import os
import signal
import subprocess
import sys
from fractions import Fraction

import pytest
import yaml

from assistant.journal.opening import open_journal
from tests.journal import independent
from tests.whole_jobs.talks import ROOT, heard_in, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

NAME = "gearbox-side-cover"
TOOLS = "procedures/tools/practice-bay.yaml"
FIRST, SECOND = (
    yaml.safe_load((ROOT / f"audio_fixtures/{name}.talk.yaml").read_text("utf-8"))["lines"]
    for name in (NAME, f"{NAME}-resumed")
)
REASON = next(line["say"] for line in SECOND if not isinstance(line, str))
ORDER = [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]
POUND_FOOT = Fraction("1.3558179483314004")  # newton metres, NIST SP 811 (2008), appendix B.8


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    """Kill the first process in mid-stage, go on with the second recording; the whole job, and the dialogue of each."""
    home = tmp_path_factory.mktemp("tools")
    first = subprocess.Popen(
        [sys.executable, "-m", "assistant", "rehearse", f"procedures/{NAME}.yaml", "--audio-in",
         f"audio_fixtures/{NAME}.flac", "--tools", TOOLS],
        cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)}, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    before = ""
    for line in first.stdout:
        before += line
        if "Bolt eight." in line:
            first.send_signal(signal.SIGKILL)
    assert first.wait() == -signal.SIGKILL, before
    with open_journal(home, read_only=True) as journal:
        name = journal.resolve("last")
        assert journal.lease(name) is None, "who was killed holds nothing"
    left = independent.check(home, name)
    # Another file by that name must not matter: the job keeps its own copy.
    after = rehearse(NAME, f"{NAME}-resumed", home, "--job", name)
    return before, left, after


def said(lines):
    return [line if isinstance(line, str) else line["say"] for line in lines]


def test_every_word_of_both_talks_was_heard(job):
    before, _, after = job
    assert heard_in(before) == said(FIRST)
    second = after.heard
    # Dictated words are free speech, of which a word may differ; the rest is heard as it was said.
    assert [text for text in second if text in said(SECOND)] == [text for text in said(SECOND) if text != REASON]
    assert len(second) == len(said(SECOND))
    assert after.code == 0


def test_the_killed_job_goes_on_at_the_very_bolt(job):
    before, left, after = job
    assert before.rstrip().splitlines()[-1].endswith("Bolt eight. At seven o'clock.")
    assert after.entries[: len(left)] == left
    assert "stage two, bolt eight still to do. Use the pound wrench. Set sixteen pound-feet" in after.dialogue


def test_every_bolt_of_both_stages_is_there_in_the_order_of_the_file(job):
    facts = [data for kind, data in job[2].facts if kind == "tightened"]
    for stage in (1, 2):
        here = [data for data in facts if (data["step"], data["stage"]) == ("cover-tight", stage)]
        assert [bolt for data in here for bolt in data["bolts"]] == ORDER
    assert [len(data["bolts"]) for data in facts] == [4] * 3 + [1] * 12 + [1] * 4


def test_what_was_set_gives_the_target_at_the_bolt_within_its_limits(job):
    tools = yaml.safe_load((ROOT / TOOLS).read_text("utf-8"))
    levers = {tool["id"]: int(tool["lever"].split()[0]) for tool in tools["wrenches"]}
    facts = [data for kind, data in job[2].facts if kind == "tightened" and data["adapter"] == "crowfoot"]
    assert {data["tool"] for data in facts} == {"small-wrench", "pound-wrench"}
    for data in facts:
        # Torque at the bolt = setting x (lever + crowfoot) / lever: US Army TM 1-1500-204-23-9.
        lever = levers[data["tool"]]
        unit = {"N·m": Fraction(1), "lbf·ft": POUND_FOOT}[data["setting"]["unit"]]
        at_bolt = Fraction(data["setting"]["value"]) * unit * (lever + 35) / lever
        assert Fraction("22.5") <= at_bolt <= Fraction("25.5")
        assert abs(at_bolt - 24) < Fraction("0.4")


def test_readings_are_kept_with_unit_and_verdict_and_none_went_on_by_itself(job):
    facts = job[2].facts
    readings = [
        (
            kind,
            *data.get("bolts", [data.get("bolt")]),
            f"{data['reading']['value']} {data['reading']['unit']}",
            data["verdict"],
        )
        for kind, data in facts
        if kind in ("tightened", "out_of_limits") and data["reading"]
    ]
    assert readings == [
        ("tightened", 1, "24 N·m", "within"),
        ("out_of_limits", 7, "27 N·m", "above"),
        ("tightened", 7, "23 N·m", "within"),
        ("tightened", 4, "18 lbf·ft", "within"),
        ("out_of_limits", 3, "19 lbf·ft", "above"),
        ("tightened", 3, "19 lbf·ft", "above"),
    ]
    assert [(data["what"], data["bolts"]) for kind, data in facts if kind == "deviation"] == [("bolt_reading", [3])]
    assert job[0].count("Next does not pass a reading out of limits.") == 1


def test_each_click_is_counted_once_by_wrench(job):
    clicks = {}
    for kind, data in job[2].facts:
        if kind == "tightened" and data["clicks"]:
            clicks[data["tool"]] = clicks.get(data["tool"], 0) + data["clicks"]
    # Stage one, bolts 1, 7 and the last cover bolt, and two end bolts; the other nine cover bolts in pound-feet.
    assert clicks == {"small-wrench": 12 + 2 + 1 + 2, "pound-wrench": 9}
