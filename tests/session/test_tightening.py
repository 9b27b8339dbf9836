"""Mid-tightening: what is said, in the words that the ear expects."""

from __future__ import annotations

import pytest

from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from tests.session.bench import Bench
from tests.session.examples import newton_metres, procedure
from tests.session.jobs import pump

STAGE_TWO = "Stage two. Bolts one to three. Eighteen newton metres. One eight."


@pytest.fixture
def bench() -> Bench:
    """Stage two of the cover, bolts four to eight."""
    bench = Bench(pump())
    bench.lead_to("tighten-cover")
    assert bench.hear("next") == STAGE_TWO
    assert bench.hear("next") == "Bolts four to eight. Thirty-two newton metres."
    return bench


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("which bolts", "Bolts four to eight."),
        ("what value", "Thirty-two newton metres."),
        ("what torque", "Thirty-two newton metres."),
        ("how many", "Five bolts. Three of fourteen in this stage are done."),
        ("which tool", "The procedure names the torque wrench. Look that its scale reaches thirty-two newton metres."),
        ("where am i", "Step ten of eleven, stage two, bolts four to eight still to do."),
        ("time left", "Sealant open time: nine minutes left."),
        ("say again", "Bolts four to eight. Thirty-two newton metres."),
        (
            "what is left",
            "In this stage, eleven bolts are left. Two stages come after it. Four steps are left in the job.",
        ),
    ],
)
def test_questions_are_answered_and_move_nothing(bench: Bench, question: str, answer: str) -> None:
    before = bench.session.view(bench.now).get("tighten")
    assert bench.hear(question) == answer
    assert bench.session.view(bench.now).get("tighten") == before
    assert bench.kinds() == ["heard"]


def test_repeat_stage_reads_the_stage_from_its_start_and_stays(bench: Bench) -> None:
    assert bench.hear("repeat stage") == (
        "Stage two of four. Bolts one to three. Eighteen newton metres. One eight. Bolts four to eight. "
        "Thirty-two newton metres. Bolts nine to fourteen. Bolt ten is hidden: behind the pipe. "
        "You are at bolts four to eight."
    )
    assert bench.hear("which bolts") == "Bolts four to eight."


def test_next_confirms_this_run_and_says_the_new_one(bench: Bench) -> None:
    assert bench.hear("next") == (
        "Bolts nine to fourteen. Bolt ten is hidden."
    )  # fmt: skip
    fact = bench.facts("tightened")[-1]
    assert (fact["stage"], fact["run"], fact["bolts"], fact["way"]) == (2, 2, [4, 5, 6, 7, 8], "torque")
    assert fact["target"] == {"value": "32", "unit": "N·m"}


def test_an_angle_is_a_further_one_with_what_the_hand_makes_of_it(bench: Bench) -> None:
    bench.hears("next", "next", "next")
    assert bench.hear("next") == (
        "Stage four. The long ones only. Bolts one to four. A further sixty degrees, a sixth of a turn."
    )


def test_long_orders_come_four_bolts_at_a_time(bench: Bench) -> None:
    bench.hear("next")
    assert bench.hear("next").endswith("Bolts one, eight, five and twelve. Forty-five newton metres.")
    assert bench.hear("next").startswith("Bolts three, ten, seven and fourteen. Bolt ten is hidden.")


def test_one_by_one_and_back_to_the_rest_of_the_group(bench: Bench) -> None:
    assert bench.hear("one by one") == "Bolt four. Thirty-two newton metres."
    assert bench.hear("next") == "Bolt five."
    assert bench.hear("next") == "Bolt six."
    assert bench.hear("where am i") == "Step ten of eleven, stage two, bolt six still to do."
    assert bench.hear("all together") == "Bolts six to eight. Thirty-two newton metres."
    assert bench.hear("next").startswith("Bolts nine to fourteen.")
    done = [(fact["single"], fact["bolts"]) for fact in bench.facts("tightened")]
    assert done[-3:] == [(True, [4]), (True, [5]), (False, [6, 7, 8])]


def test_a_value_that_sounds_like_another_is_read_out_in_digits_once(bench: Bench) -> None:
    bench.hears("go back")
    assert bench.hear("one by one") == "Bolt one. Eighteen newton metres. One eight."
    assert bench.hear("next") == "Bolt two."


def test_a_partly_done_group_survives_going_back_and_forth(bench: Bench) -> None:
    bench.hears("one by one", "next", "all together", "go back", "go back")
    assert bench.hear("which bolts") == "Bolts one to three."
    bench.hear("next")
    assert bench.facts("tightened")[-1]["repeated"] is True
    bench.hears("one by one", "next")
    assert bench.facts("tightened")[-1]["repeated"] is True
    assert bench.hear("which bolts") == "Bolt five."
    bench.hear("next")
    assert bench.facts("tightened")[-1]["repeated"] is False


def test_left_out_bolts_need_a_reason_and_stay_open_at_the_end(bench: Bench) -> None:
    assert bench.hear("skip this") == "Say why, then say end note."
    bench.hear("the thread is worn")
    assert bench.hear("end note") == (
        "You said: the thread is worn. Skip bolts four to eight in stage two? Say confirmed."
    )  # fmt: skip
    assert bench.hear("confirmed").startswith("Bolts nine to fourteen.")
    assert bench.facts("skipped")[-1]["bolts"] == [4, 5, 6, 7, 8]
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
    assert "Stage two of four. Bolts four to eight. Thirty-two newton metres." in bench.hear("go back")
    assert bench.hear("next").startswith("Bolts nine to fourteen.")
    assert bench.facts("step_done")[-1]["step"] != "tighten-cover"
    bench.hears("next", "next", "next", "next")
    assert bench.facts("step_done")[-1]["step"] == "tighten-cover"
    assert [fact["not_tightened"] for fact in bench.facts("stage_done")] == [[], [], [], []]


def test_a_pause_ends_in_a_tightening_that_is_longer_than_the_one_before() -> None:
    group = Group("rim", "rim bolts", "", (1, 2, 3, 4))
    short = TightenStep("seat", "Seat the rim.", stages=(Stage.single((Run("rim", (1, 2, 3, 4), newton_metres(20)),)),))
    runs = tuple(Run("rim", (bolt,), newton_metres(30 + bolt)) for bolt in (1, 2, 3, 4))
    long = TightenStep("tighten", "Tighten the rim.", stages=(Stage.single(runs),))
    job = Bench(procedure(short, long, groups=(group,)))
    job.hears("next", "next", "next", "pause")
    assert job.hear("carry on").endswith("Bolt three. Thirty-three newton metres.")
