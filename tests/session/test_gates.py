"""Gates, second people and what is locked, where a job is cut short, taken over, or led elsewhere."""

from __future__ import annotations

import pytest

from assistant.session.gates import gates_before, without_witness
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.locks import locks_in
from assistant.session.state import State
from tests.fakes.mechanic import REASON
from tests.session.bench import Bench
from tests.session.gated import gated

GATES = ["marks", "gap", "pin-out", "seals", "plugs-in", "tighten", "grease", "mark"]


def here(bench: Bench) -> Here:
    return Here(Job(bench.procedure), bench.session.state, round(1000 * bench.now))


def begun(step: str = "marks") -> Bench:
    bench = Bench(gated(), operator="A. Mechanic, Ben Fisher")
    bench.lead_to(step)
    return bench


def test_the_gates_before_a_place_are_those_that_are_not_passed() -> None:
    job = Job(gated())
    start = Here(job, State(), 0)
    assert [place.key for place in gates_before(start)] == GATES
    assert [place.key for place in gates_before(start, job.index["marks"])] == []
    assert [place.key for place in gates_before(start, job.index["seals"])] == ["marks", "gap", "pin-out"]
    bench = begun("seals")
    assert [place.key for place in gates_before(here(bench))] == GATES[3:]


@pytest.mark.parametrize(
    ("said", "state"),
    [
        (("no",), "checking"),
        (("no", "release the gate"), "naming"),
        (("no", "release the gate", "operator one"), "dictation"),
        (("no", "release the gate", "operator one", REASON, "end note"), "releasing"),
        (("yes",), "naming"),
        (("yes", "operator one"), "witnessing"),
    ],
)
def test_a_job_that_is_cut_short_at_a_gate_stands_at_it_still(said: tuple[str, ...], state: str) -> None:
    bench = begun()
    bench.hears(*said)
    assert bench.phase == state
    words = bench.resume()
    assert bench.session.state.place == "marks"
    assert bench.phase == ("naming" if state == "naming" else "checking")
    assert ("Who " in words) is (state == "naming")
    if state == "naming":
        bench.hear("cancel")
    bench.hear("next")
    assert bench.session.state.place == "marks", "the gate was passed"
    bench.lead_to_end()
    assert bench.session.closed


def test_who_takes_the_job_over_at_a_release_is_no_second_person_for_it() -> None:
    bench = begun()
    bench.hears("no", "release the gate")
    words = bench.resume(operator="Ben Fisher")
    assert words.endswith("Operator one: A. Mechanic. Say operator and the number, or type a name.")
    assert "Locked: crank pin." in words


def test_the_word_of_a_second_person_is_waited_for_longer_and_silence_changes_nothing() -> None:
    bench = begun()
    bench.hears("yes", "operator one")
    assert bench.wait(50) == ""
    assert bench.wait(15) == "I did not hear it. Nothing has changed."
    assert [place.key for place in without_witness(here(bench))] == ["marks"]


def test_a_bolt_out_of_limits_at_a_gate_is_taken_as_it_is_by_a_second_person_alone() -> None:
    bench = begun("tighten")
    bench.hears("one by one", "reading twenty")
    said = bench.hears("take a note")
    assert "This is a gate." in said
    assert bench.facts("gate_held")[-1]["question"]["what"] == "bolt_reading"
    bench.hears("release the gate", "operator one", REASON, "end note", "i release it")
    assert bench.facts("deviation")[-1]["what"] == "bolt_reading"
    bench.hear("next")
    assert bench.phase == "naming"  # its witness


def test_a_bolt_that_was_done_again_is_not_what_a_second_person_lets_through_any_more() -> None:
    bench = begun("tighten")
    bench.hears("one by one", "reading twenty", "take a note", "tighten again", "reading thirty")
    bench.hears("release the gate", "operator one", REASON, "end note", "i release it")
    assert bench.facts("gate_released")[-1]["question"]["what"] == "skip_step"
    assert bench.facts("deviation") == []
    assert bench.facts("skipped")[-1]["what"] == "step"


def test_a_lock_is_in_from_the_step_that_puts_it_in_to_the_one_that_takes_it_out() -> None:
    bench = begun("pin-in")
    assert locks_in(here(bench)) == []
    bench.hear("next")
    assert locks_in(here(bench)) == ["crank-pin"]
    bench.lead_to("seals")
    assert locks_in(here(bench)) == []
    bench.hears(*["go back"] * 4)
    assert bench.session.state.place == "pin-in"
    bench.hear("next")  # it goes in once more
    assert locks_in(here(bench)) == ["crank-pin"]


def test_a_reading_that_is_corrected_is_seen_anew_by_the_witness() -> None:
    bench = begun()
    bench.hears("yes", "operator one", "i have seen it", "go back", "yes")
    assert bench.phase == "naming"
    assert [place.key for place in without_witness(here(bench))] == ["marks"]


def test_behind_the_last_step_a_gate_that_is_open_again_is_gone_to() -> None:
    """Nothing else would lead on from there."""
    bench = begun()
    bench.lead_to("leaks")
    while bench.phase != "finishing":
        bench.lead_on()
    bench.hears("bolt one broke", "confirmed")
    assert bench.phase == "finishing"
    said = bench.hear("finish job")
    assert said.startswith("Step seven is a gate, and not passed.")
    assert "Bolt one broke, and waits." in said
    assert bench.session.state.place == "tighten"
    bench.hears("bolt one is replaced", "confirmed")
    bench.lead_to_end()


def test_a_reading_out_of_limits_at_a_gate_offers_no_note_which_would_be_refused() -> None:
    bench = Bench(gated())
    bench.lead_to("tighten")
    bench.hears("one by one", "reading forty five")
    view = bench.session.view(bench.now)
    assert (view["phase"], view["leads_on"]) == ("out_of_limits", ["do_again", "replace"])
    bench.lead_to_end()
