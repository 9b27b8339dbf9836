"""Branches and extra work: only what is granted opens, nothing is lost on the way, and a job goes on where it was left.

What must hold is the house's own: work beside the job that nobody granted is never opened, whatever is said.
"""

from __future__ import annotations

import random

import pytest

from assistant.display.picture import picture
from assistant.events import Source
from assistant.procedure.format.reader import read_text
from assistant.session.evolving.table import evolve
from assistant.session.state import ExtraIs, State
from tests.session.bench import Bench
from tests.session.turning import LID, lid_and_rail

_LEADS_IN = ("no", "reading point five", "reading point zero five", "yes", "confirmed", "ask later", "the customer")


@pytest.mark.parametrize("part", range(20))
def test_no_extra_work_opens_that_was_not_granted_and_every_way_leads_to_the_end(part: int) -> None:
    dice = random.Random(part)
    bench = Bench(lid_and_rail())
    for _ in range(200):
        if bench.session.closed:
            break
        grammar = bench.session.grammar()
        phrases = [*grammar.phrases, *(f"{slot.before} two {slot.after}".strip() for slot in grammar.slots)]
        likely = [one for one in _LEADS_IN if one in grammar.phrases or one.startswith("reading")]
        if dice.random() < 0.5:
            bench.lead_on()
        else:
            words = dice.choice(likely if likely and dice.random() < 0.5 else phrases or ["next"])
            bench.hear(words, source=dice.choice((Source.VOICE, Source.KEY)))
        if dice.random() < 0.05 and not bench.session.closed:
            bench.resume()
    bench.lead_to_end()
    state = State()
    for fact, _ in bench.entries:
        state = evolve(state, fact)
        opened = {key for key in state.branches if key.endswith((":offer", "play:above"))}
        assert opened <= {key for key, extra in state.extra.items() if extra.stands is ExtraIs.GRANTED}


def test_a_job_that_was_killed_in_a_branch_goes_on_in_it() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "no", "confirmed", "next")
    assert "Extra step one of three. Pull out the slide rail." in bench.resume()
    bench.hears("next", "count one", "yes")
    assert bench.session.view(bench.now)["place"] == "rail-cracks"
    bench.resume()
    assert "Step three" in bench.hear("yes"), "the branch is behind, and is passed"


def test_a_finding_is_kept_when_the_program_stops_before_anybody_said_how_bad_it_is() -> None:
    bench = Bench(lid_and_rail())
    bench.hears("next", "i found something", "the seal weeps", "end note")
    bench.resume()
    assert bench.facts("finding") == [
        {
            "work": "finding:1", "number": 1, "text": "the seal weeps", "step": None, "severity": "before_running",
            "complete": True, "silent_ms": 1_800_000_004_000,
        }
    ]  # fmt: skip


def test_a_grant_that_was_half_said_is_dropped_when_the_program_stops() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "yes", "the customer")
    bench.resume()
    assert bench.facts("extra_granted") == []
    assert bench.session.view(bench.now)["phase"] == "offering"


def test_another_answer_shuts_a_branch_again_only_as_long_as_nothing_of_it_was_done() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "no", "confirmed", "go back", "yes")
    assert len(bench.facts("branch_left")) == 1
    bench.hears("go back", "no", "confirmed", "next", "next", "go back", "go back", "go back", "yes")
    assert len(bench.facts("branch_left")) == 1
    assert bench.session.view(bench.now)["place"] == "rail-cracks:no:1"


def test_whoever_takes_over_hears_of_extra_work_that_waits() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    said = bench.hears("next", "ask later", "hand over", "confirmed", "take over")
    assert "Extra work one, change the breather hose: waits for an answer." in said


def test_a_branch_in_a_branch_in_a_branch_is_refused() -> None:
    inside = "{check: Is it free?, if no: {steps: [{do: Wipe it.}]}}"
    deeper = f"{{check: Is it dry?, if no: {{steps: [{inside}]}}}}"
    text = LID.read_text("utf-8").replace("{do: Wipe the rail.}", "{do: Wipe the rail.}")
    text = text.replace("- {id: wipe, do: Wipe the rail.}", f"- {{check: Is it clean?, if no: {{steps: [{deeper}]}}}}")
    findings = read_text(text.encode(), "x.yaml").findings
    line = 1 + text[: text.index("Is it clean?")].count("\n")
    assert [(one.line, one.rule) for one in findings if one.rule == "nesting"] == [(line, "nesting")]


def test_what_only_a_branch_needs_is_not_asked_for_before_the_work() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    assert not any("puller" in said or "hose" in said for said in bench.spoken)


def test_no_number_of_extra_work_is_given_twice() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("play")
    bench.hears("reading point five", "confirmed", "ask later", "i found something", "a scratch", "end note")
    bench.hears("only watch it", "confirmed", "go back", "reading point two")  # nothing of it is asked any more
    bench.hears("i found something", "a loose clip", "end note", "only watch it", "confirmed")
    numbers = [extra["number"] for extra in bench.session.view(bench.now)["extra"]]
    assert len(set(numbers)) == len(numbers) == 3


def test_a_page_shows_what_is_offered_and_what_of_it_is_open() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hear("next")
    shown = picture(bench.session.view(bench.now))
    assert shown["place"] == "Beside the job"
    assert "change the breather hose" in shown["headline"]
    assert shown["say"] == "yes, no, or ask later"
    bench.hear("ask later")
    assert (
        "Extra work one waits for an answer: change the breather hose."
        in picture(bench.session.view(bench.now))["troubles"]
    )


def test_the_minutes_of_a_branch_count_for_the_end_of_the_job_once_it_is_open() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    before = bench.hears("next", "ask later", "when are we done")
    after = bench.hears("no", "confirmed", "when are we done")
    assert "twenty-five" in after
    assert "twenty-five" not in before


def test_taking_an_answer_back_shuts_the_branch_that_it_opened() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "no", "confirmed", "take that back", "confirmed")
    view = bench.session.view(bench.now)
    assert (view["place"], bench.session.state.branches) == ("rail-cracks", {})
    assert "Step three" in bench.hear("yes")


def test_taking_a_grant_back_shuts_the_work_and_asks_for_it_again() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    said = bench.hears("next", "yes", "the customer", "in person", "confirmed", "take that back")
    assert "Say confirmed." in said
    bench.hear("confirmed")
    assert bench.session.state.branches == {}
    assert [extra["stands"] for extra in bench.session.view(bench.now)["extra"]] == ["asked"]
    bench.resume()
    assert bench.session.view(bench.now)["phase"] == "offering"


def _granted_later() -> Bench:
    """Return a job whose first offer waits for an answer and is granted at the third step."""
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "yes", "extra work one granted", "the customer", "in person", "confirmed")
    return bench


def test_what_taking_back_shut_is_not_opened_by_taking_back_once_more() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "yes", "the customer", "in person", "confirmed", "take that back", "confirmed")
    bench.hears("take that back", "confirmed")
    assert bench.session.state.branches == {}
    assert bench.session.view(bench.now)["place"] == "lid"


def test_granted_work_is_not_gone_to_over_the_step_that_it_is_to_be_done_at() -> None:
    bench = _granted_later()
    bench.hears("go back", "go back", "take that back", "confirmed", "take that back", "confirmed")
    bench.hears("take that back", "confirmed")
    assert bench.session.view(bench.now)["place"] == "lid"
    bench.hears("extra work one granted", "the customer", "in person", "confirmed")
    assert bench.hear("start extra work") == "I do not go there. First step one."
    assert bench.facts("extra_begun") == []


def test_the_end_of_extra_work_leads_to_a_step_that_was_taken_back_meanwhile() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "extra work one granted", "the customer", "in person", "confirmed")
    bench.hears("yes", "reading point two", "start extra work")  # from the fourth step
    bench.hears("take that back", "confirmed", "next", "next", "count one")
    assert bench.session.view(bench.now)["place"] == "play"


def test_who_comes_back_to_the_end_of_a_stopped_branch_hears_that_next_goes_on() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("play")
    bench.hears("reading point zero five", "confirmed", "next", "skip this", "told", "end note", "confirmed")
    said = bench.hear("go back")
    assert said == "The job stopped here, and goes on for a reason. Next goes on."
    bench.hear("next")
    assert bench.session.view(bench.now)["place"] == "wipe"


def test_taking_back_the_answer_that_shut_granted_work_leaves_it_granted() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("play")
    bench.hears("reading point five", "confirmed", "yes", "the customer", "in person", "confirmed", "go back")
    bench.hears("reading point two", "take that back", "confirmed")
    assert bench.session.state.branches == {"play:above": 1}
    assert bench.session.state.extra["play:above"].stands is ExtraIs.GRANTED


def test_why_is_answered_where_several_pieces_of_extra_work_may_be_meant() -> None:
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "no", "i found something", "a scratch", "end note", "only watch it", "confirmed")
    asked = bench.hear("extra work granted")
    assert asked == bench.hear("why") != ""
