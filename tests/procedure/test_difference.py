"""Two versions of a procedure are told apart step by step; the same procedure written in another way is the same."""

import pytest

from assistant.language.en.equipment import file_changed
from assistant.procedure.difference import Change, counted_differences, differences
from assistant.procedure.format.reader import read_text
from tests.procedure.test_good_files import BENCH, DEMOS
from tests.procedure.writing import to_yaml

BASE = BENCH.read_text("utf-8")


def read(text):
    reading = read_text(text.encode(), "x.yaml")
    assert reading.procedure is not None, reading.errors
    return reading.procedure


def changed(*changes):
    text = BASE
    for good, bad in changes:
        assert text.count(good) == 1, good
        text = text.replace(good, bad)
    return differences(read(BASE), read(text))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_same_procedure_in_other_writing_differs_in_nothing(path):
    procedure = read(path.read_text("utf-8"))
    assert differences(procedure, read(to_yaml(procedure))) == ()


def test_a_changed_value_is_named_with_its_stage_and_both_values():
    (one,) = changed(("torque: 12 N·m", "torque: 13 N·m"))
    assert (one.kind, one.name, one.change) == ("step", "tighten-plate", Change.CHANGED)
    assert one.details == ("stage 2, run 1, torque: 12 N·m became 13 N·m",)


def test_the_order_of_bolts_is_a_value_too():
    (one,) = changed(
        ("{torque: 5 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}",
         "{torque: 5 N·m, tool: wrench, runs: [{group: plate, bolts: [4, 2, 3, 1]}]}"),
    )  # fmt: skip
    assert one.details == ("stage 1, run 1, bolts: 1, 3, 2, 4 became 4, 2-3, 1",)


def test_steps_that_come_and_go_are_named_with_their_place():
    look = '      - {id: look, check: "Is the plate clamped to the bench?"}\n'
    found = changed((look, '      - {id: see, check: "Is the plate clean?"}\n'))
    assert [(one.name, one.change) for one in found] == [("look", Change.REMOVED), ("see", Change.ADDED)]
    assert found[0].details == ('in "Strip": "Is the plate clamped to the bench?"',)
    assert found[1].details == ('in "Strip", first of all', "check: Is the plate clean?")


def test_a_step_that_moved_is_one_difference():
    fit = "      - {id: new-gasket, fit: Fit a new plate gasket., spare: gasket}\n"
    count = "      - {id: bolts-in, count: Put in the plate bolts by hand and count them., in: plate}\n"
    (one,) = changed((fit, ""), (count, count + fit))
    assert (one.name, one.change, one.details) == ("new-gasket", Change.MOVED, ('now in "Refit", after bolts-in',))


def test_a_step_without_an_id_of_its_own_is_known_by_its_text():
    look = '{id: look, check: "Is the plate clamped to the bench?"}'
    old = read(BASE.replace(look, look + '\n      - {check: "Is the bench clear?"}'))
    new = read(BASE.replace(look, look + '\n      - {do: Sweep the bench.}\n      - {check: "Is the bench clear?"}'))
    (one,) = differences(old, new)
    assert (one.name, one.change) == ('"Sweep the bench."', Change.ADDED)


def test_what_must_be_at_hand_and_the_head_are_compared():
    found = changed(("revision: 1\n", "revision: 2\n"), ("name: torque wrench}", "name: large torque wrench}"))
    assert [str(one) for one in found] == [
        "the head of bench-check: changed\n    revision: 1 became 2",
        "tool wrench: changed\n    name: torque wrench became large torque wrench",
    ]


def test_the_count_is_for_the_ear():
    found = changed(("revision: 1\n", "revision: 2\n"), ("torque: 12 N·m", "torque: 13 N·m"))
    steps, others = counted_differences(found)
    said = file_changed(steps, others, faulty=False)
    assert "One step is changed and one other thing differs." in said
    assert not any(letter.isdigit() for letter in said)
    assert "It has errors now." in file_changed([], 0, faulty=True)
