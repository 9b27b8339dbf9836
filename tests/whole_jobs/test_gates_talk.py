"""A gate released by a second person, witnesses and an amount, on recorded speech through the real recogniser."""

import pytest

from tests.whole_jobs.talks import rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]


@pytest.fixture(scope="module")
def gated(tmp_path_factory):
    return rehearse(
        "../tests/typed/procedures/gated-tank", "gated-tank", tmp_path_factory.mktemp("gated"),
        "--operator", "Ada Marsh, Ben Osei",
    )  # fmt: skip


def of(gated, kind):
    return [data for one, data in gated.facts if one == kind]


def test_the_gate_is_held_and_then_released_by_the_word_of_the_second_person_alone(gated):
    (held,) = of(gated, "gate_held")
    assert (held["step"], held["question"]["what"], held["question"]["yes"]) == ("marks", "answer", False)
    (released,) = of(gated, "gate_released")
    assert (released["step"], released["name"], released["operator"]) == ("marks", "Ben Osei", "Ada Marsh")
    assert released["reason"]
    assert "Only the second person says it. Ben Osei, say: I release it." in gated.dialogue
    order = [kind for kind, _ in gated.facts]
    assert order.index("gate_held") < order.index("gate_released") < order.index("check_answered")


def test_witnesses_are_taken_down_and_asked_for_again_where_nobody_was_at_hand(gated):
    assert [(one["step"], one["name"]) for one in of(gated, "witnessed")] == [
        ("marks", "Ben Osei"), ("plugs", "Ben Osei"),
    ]  # fmt: skip
    assert [one["step"] for one in of(gated, "not_witnessed")] == ["plugs", "leaks"]
    assert "Not witnessed: step seven." in gated.dialogue
    assert [one["steps"] for one in of(gated, "left_unwitnessed")] == [["leaks"]]


def test_what_was_filled_in_is_taken_down_and_the_job_is_closed(gated):
    (filled,) = of(gated, "filled")
    assert (filled["value"], filled["unit"], filled["amount"], filled["in_limits"]) == ("11.5", "l", "11", True)
    assert gated.facts[-1][0] == "closed"
    assert gated.code == 0
