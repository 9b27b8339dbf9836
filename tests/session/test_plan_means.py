"""Who and what a plan counts on: no step asks for more people than are there, and a helper leads nothing alone."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.tasks import MECHANIC
from assistant.facts.inputs import ToolFile
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Item
from assistant.procedure.steps.do import DoStep
from assistant.session.evolving.supposed import supposed
from assistant.session.here import Here
from assistant.session.plan_means import HELPER, SECOND, Crew, hands_for, means_of
from assistant.session.planning import plan_job
from assistant.session.state import State
from tests.jobs import ROOT
from tests.session.bench import Bench

FRAME = read_procedure(ROOT / "tests/typed/procedures/shared-frame.yaml").usable
TOOLS = (ROOT / "tests/typed/tools/no-ratio.yaml").read_text("utf-8")


def standing(procedure=FRAME) -> Here:
    bench = Bench(procedure)
    return bench.session.standing(bench.now)


steps = st.builds(
    DoStep, id=st.just("lift"), text=st.just("Lift it."), people=st.integers(1, 9), helper=st.booleans(),
    witness=st.booleans(),
)  # fmt: skip
crews = st.builds(Crew, mechanics=st.integers(1, 4), helpers=st.integers(0, 4))


@given(steps, crews)
def test_no_step_takes_more_people_than_there_are_and_a_helper_does_alone_only_what_one_may(step, crew):
    here = standing()
    hands, means = hands_for(here, step, crew), means_of(here, crew)
    there = Counter({MECHANIC: crew.mechanics, HELPER: crew.helpers, SECOND: 1})
    assert means.people == there
    for taken in (Counter(hands.people), Counter(hands.instead)):
        assert taken <= there
    assert hands.people[0] == MECHANIC  # who leads is there, whoever else is
    assert hands.short is (step.people > crew.people)
    assert len(hands.people) == min(step.people, crew.people) + step.witness
    if hands.instead and MECHANIC not in hands.instead:
        assert step.helper
        assert hands.instead == (HELPER,) * step.people
    if hands.instead:
        assert len(hands.instead) == len(hands.people)


@given(crews)
def test_the_plan_of_a_job_gives_nobody_two_things_at_once(crew):
    found = plan_job(standing(), crew)
    assert found.plan is not None
    spans = {span.task: span for span in found.plan.spans}
    for span in found.plan.spans:
        taken: Counter[str] = Counter()
        for task in found.tasks:
            if spans[task.id].start <= span.start < spans[task.id].end:
                taken += task.takes_instead if task.id in found.plan.given else task.takes
        assert all(number <= found.means.of(name) for name, number in taken.items())


def test_a_tool_of_the_tool_file_is_there_once_and_another_as_often_as_it_is_listed():
    listed = (Item("gauge", "gauge", Decimal(2)), Item("angle-gauge", "angle gauge", Decimal(2)), Item("pin", "pin"))
    here = standing(replace(FRAME, support_equipment=(*FRAME.support_equipment, *listed)))
    assert [means_of(here, Crew()).of(f"tool {name}") for name in ("gauge", "angle-gauge", "pin")] == [2, 2, 1]
    state = supposed(State(), tools=ToolFile("tools.yaml", TOOLS, "", {}), no_times=False)
    here = Here(here.job, state, here.now_ms)
    assert [means_of(here, Crew()).of(f"tool {name}") for name in ("gauge", "angle-gauge", "pin")] == [2, 1, 1]


def test_the_page_says_at_a_step_for_how_many_people_it_is():
    bench = Bench(FRAME)
    bench.lead_to("level")
    assert bench.session.view(bench.now)["beside"] == []
    bench.lead_to("lift")
    assert bench.session.view(bench.now)["beside"] == ["For two people."]
