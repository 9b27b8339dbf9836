"""Mid-tightening: what is said, in the words that the ear expects."""

from __future__ import annotations

import pytest

from tests.session.bench import Bench
from tests.session.jobs import pump

STAGE_TWO = "Stage two of four. Bolts one and two. Thirty newton metres. Three zero."


@pytest.fixture
def bench() -> Bench:
    """Stage two of the cover, bolts three to six."""
    bench = Bench(pump())
    bench.lead_to("tighten-cover")
    assert bench.hear("next") == STAGE_TWO
    assert bench.hear("next") == "Bolts three to six. Forty newton metres. Four zero."
    return bench


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("which bolts", "Bolts three to six."),
        ("what value", "Forty newton metres. Four zero."),
        ("what torque", "Forty newton metres. Four zero."),
        ("how many", "Four bolts. Two of sixteen in this stage are done."),
        ("which tool", "Torque wrench."),
        ("where am i", "Step ten of eleven, stage two, bolts three to six still to do."),
        ("time left", "Sealant open time: nine minutes left."),
        ("say again", "Bolts three to six. Forty newton metres. Four zero."),
        (
            "what is left",
            "In this stage, fourteen bolts are left. Two stages come after it. Four steps are left in the job.",
        ),
    ],
)
def test_questions_are_answered_and_move_nothing(bench: Bench, question: str, answer: str) -> None:
    before = bench.session.view(bench.now)["tighten"]
    assert bench.hear(question) == answer
    assert bench.session.view(bench.now)["tighten"] == before
    assert bench.kinds() == ["heard"]


def test_repeat_stage_reads_the_stage_from_its_start_and_stays(bench: Bench) -> None:
    assert bench.hear("repeat stage") == (
        "Stage two of four. Bolts one and two. Thirty newton metres. Three zero. Bolts three to six. "
        "Forty newton metres. Four zero. Bolts seven to ten. Twenty-five newton metres. Bolts eleven to sixteen. "
        "You are at bolts three to six."
    )
    assert bench.hear("which bolts") == "Bolts three to six."


def test_next_confirms_this_run_and_says_the_new_one(bench: Bench) -> None:
    assert bench.hear("next") == (
        "Bolts seven to ten. Twenty-five newton metres. Bolt seven is hidden: behind the pipe."
    )  # fmt: skip
    fact = bench.facts("run_tightened")[-1]
    assert (fact["stage"], fact["run"], fact["bolts"]) == (2, 2, [3, 4, 5, 6])
    assert fact["target"] == {"value": "40", "unit": "N·m", "further": False}


def test_an_angle_is_a_further_one_with_what_the_hand_makes_of_it(bench: Bench) -> None:
    bench.hears("next", "next", "next", "next")
    assert bench.hear("next") == (
        "Stage four of four. The long ones only. Bolts one to four. A further ninety degrees, a quarter turn."
    )


def test_long_orders_come_four_bolts_at_a_time(bench: Bench) -> None:
    bench.hears("next", "next")
    assert bench.hear("next").endswith("Bolts one, nine, five and thirteen. Forty-five newton metres.")
    assert bench.hear("next").startswith("Bolts three, eleven, seven and fifteen. Forty-five newton metres.")


def test_one_by_one_and_back_to_the_rest_of_the_group(bench: Bench) -> None:
    assert bench.hear("one by one") == "Bolt three. Forty newton metres. Four zero."
    assert bench.hear("next") == "Bolt four. Forty newton metres."
    assert bench.hear("next") == "Bolt five. Forty newton metres."
    assert bench.hear("where am i") == "Step ten of eleven, stage two, bolt five still to do."
    assert bench.hear("all together") == "Bolts five and six. Forty newton metres."
    assert bench.hear("next").startswith("Bolts seven to ten.")
    assert [fact["bolts"] for fact in bench.facts("bolt_tightened")] == [[3], [4]]
    assert bench.facts("run_tightened")[-1]["bolts"] == [5, 6]


def test_a_partly_done_group_survives_going_back_and_forth(bench: Bench) -> None:
    bench.hears("one by one", "next", "all together", "go back", "go back")
    assert bench.hear("which bolts") == "Bolts one and two."
    bench.hear("next")
    assert bench.facts("run_tightened")[-1]["repeated"] is True
    bench.hears("one by one", "next")
    assert bench.facts("bolt_tightened")[-1]["repeated"] is True
    assert bench.hear("which bolts") == "Bolt four."
    bench.hear("next")
    assert bench.facts("bolt_tightened")[-1]["repeated"] is False


def test_left_out_bolts_need_a_reason_and_stay_open_at_the_end(bench: Bench) -> None:
    assert bench.hear("skip this") == "Say why, then say end note."
    bench.hear("the thread is worn")
    assert bench.hear("end note") == (
        "You said: the thread is worn. Skip bolts three to six in stage two? Say confirmed."
    )  # fmt: skip
    assert bench.hear("confirmed").startswith("Bolts seven to ten.")
    assert bench.facts("skipped")[-1]["bolts"] == [3, 4, 5, 6]
    while bench.phase != "finishing":
        bench.lead_on()
    assert bench.hear("finish job") == (
        "Still open. Stage two of step ten is not tight. Say why, then say end note."
    )  # fmt: skip
    bench.hears("the part is ordered", "end note", "confirmed")
    assert bench.session.closed
    assert bench.facts("closed")[0]["open_stages"] == [["tighten-cover", 2]]


def test_a_tightening_that_was_left_out_is_offered_whole_when_it_is_come_back_to(bench: Bench) -> None:
    bench.hears("skip this step", "the sealant ran out", "end note", "confirmed")
    assert bench.hear("go back").endswith("Stage two of four. Bolts three to six. Forty newton metres. Four zero.")
    assert bench.hear("next").startswith("Bolts seven to ten.")
    assert bench.facts("step_done")[-1]["step"] != "tighten-cover"
    bench.hears("next", "next", "next", "next", "next")
    assert bench.facts("step_done")[-1]["step"] == "tighten-cover"
    assert [fact["not_tightened"] for fact in bench.facts("stage_done")] == [[], [], [], []]
