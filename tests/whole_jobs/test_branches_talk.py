"""A whole job on recorded speech that branches: an offer granted by telephone, more work, and a finding.

What must come out is worked out from the procedure file and from what is said in the talk, by hand.
"""

import pytest
import yaml

from tests.whole_jobs.talks import ROOT, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

LINES = yaml.safe_load((ROOT / "audio_fixtures/lid-and-rail.talk.yaml").read_text("utf-8"))["lines"]
FREE = next(line["say"] for line in LINES if not isinstance(line, str))


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    return rehearse("../tests/typed/procedures/lid-and-rail", "lid-and-rail", tmp_path_factory.mktemp("branches"))


def test_every_phrase_was_heard_as_it_was_said_and_the_job_is_closed(job):
    said = [line if isinstance(line, str) else line["say"] for line in LINES]
    assert len(job.heard) == len(said)
    # Dictated words are free speech, of which a word may differ.
    assert [heard for heard, line in zip(job.heard, said, strict=True) if line != FREE] == [
        line for line in said if line != FREE
    ]
    assert job.code == 0


def test_the_steps_were_done_in_the_order_in_which_the_answers_led_to_them(job):
    done = [data["step"] for kind, data in job.facts if kind == "step_done"]
    check, mended = "rail-cracks", ["rail-out", "rail-in", "rail-moves"]
    assert done == ["lid", "hose-off", "hose-on", check, *mended, check, "play", "wipe", "tools-back"]


def test_only_what_was_granted_opened_and_the_record_of_it_says_by_whom_and_how(job):
    told = [(kind, data) for kind, data in job.facts if kind in ("extra_granted", "branch_taken", "finding")]
    assert [kind for kind, _ in told] == ["extra_granted", "branch_taken", "branch_taken", "finding"]
    granted, offered, led, finding = (data for _, data in told)
    assert (granted["work"], granted["role"], granted["way"]) == ("lid:offer", "customer", "telephone")
    assert (offered["branch"], led["branch"]) == ("lid:offer", "rail-cracks:no")
    assert (finding["step"], finding["severity"]) == ("rail-cracks", "watch")


def test_the_main_steps_keep_their_numbers(job):
    for words in (
        "Step one of four.",
        "Extra step one of two.",
        "Extra step one of three.",
        "Now check again. Step two",
    ):
        assert words in job.dialogue
