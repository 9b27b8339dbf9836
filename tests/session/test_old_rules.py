"""A job that was opened under the second rules goes on as it did: what came with the third is not for it."""

from __future__ import annotations

import pytest

from tests.session.bench import Bench
from tests.session.examples import every_kind

REASON = "told by the foreman"


@pytest.fixture
def bench() -> Bench:
    return Bench(every_kind(), rules=2)


def test_a_question_cancels_what_is_read_back(bench: Bench) -> None:
    bench.lead_to("small-out")
    bench.hears("count five", "where am i")
    assert bench.kinds() == ["heard", "cancelled"]
    assert bench.replayed().phase == "counting"


def test_the_first_wrong_count_is_asked_about_with_the_number_that_is_expected(bench: Bench) -> None:
    bench.lead_to("small-out")
    bench.hear("count five")
    assert "There should be six." in bench.facts("asked")[-1]["question"]


def test_of_a_reason_fourteen_words_are_asked_about(bench: Bench) -> None:
    bench.lead_to("small-out")
    bench.hears("skip this", " ".join(["word"] * 30), "end note")
    assert bench.facts("asked")[-1]["question"].count("word") == 14


def test_a_problem_does_not_keep_the_job_open_and_what_is_open_is_kept_in_words(bench: Bench) -> None:
    bench.lead_to("small-out")
    bench.hears("problem", "one is broken off", "end note")
    while bench.phase != "finishing":
        bench.lead_on()
    bench.hear("finish job")
    assert bench.facts("asked")[-1]["question"] == "Close the job? Say confirmed."
    bench.hear("confirmed")
    assert bench.facts("closed")[0]["open"] == []
    assert set(bench.facts("closed")[0]) == {
        "open", "open_steps", "open_counts", "open_stages", "open_parts", "reason", "by"
    }  # fmt: skip
    bench.replayed()


def test_a_hazard_is_acknowledged_at_once_and_an_open_time_stays_stopped(bench: Bench) -> None:
    bench.lead_to("paste", past_hazards=False)
    bench.hear("confirmed", unsaid="The paste burns. It can cut your fingers. Wear gloves. Say confirmed.")
    assert "heard" not in bench.facts("hazard_acknowledged")[-1]
    bench.lead_to("join")
    bench.hears("skip this", REASON, "end note", "confirmed")
    assert bench.facts("timer_stopped") == [{"timer": "open", "by": "voice"}]
    bench.wait(3 * 3600)
    bench.hears("go back", "next")
    assert bench.facts("timer_runs_on", "asked")[-1].get("what") == "skip_step"
    assert bench.facts("step_done")[-1]["step"] == "join"
    bench.replayed()
