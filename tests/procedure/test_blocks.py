"""Blocks and tables in a file: what is made of them, where complaints point, and what the writer writes."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.facts.codes import TakenWhen
from assistant.procedure.difference import differences
from assistant.procedure.format.reader import read_text
from assistant.procedure.steps.measure import MeasureStep
from tests.procedure.writing import to_yaml

HEADS = (Path(__file__).parents[1] / "typed/procedures/practice-heads.yaml").read_text(encoding="utf-8")


def changed(old: str, new: str) -> bytes:
    assert HEADS.count(old) == 1, old
    return HEADS.replace(old, new).encode()


def test_a_block_becomes_the_steps_of_its_rows_with_ids_and_names_of_their_own() -> None:
    steps = read_text(HEADS.encode(), "x").usable.steps
    assert [(step.id, step.text) for step in steps[2:]] == [
        ("wheel-off--front-left", "Front left. Take the wheel off."),
        ("pad--front-left", "Front left. Measure the pad."),
        ("wheel-on--front-left", "Front left. Put the wheel on."),
        ("wheel-off--front-right", "Front right. Take the wheel off."),
        ("pad--front-right", "Front right. Measure the pad."),
        ("wheel-on--front-right", "Front right. Put the wheel on."),
    ]
    table = steps[3]
    assert isinstance(table, MeasureStep)
    assert [(row.id, column.name, column.when) for row, column in table.cells()] == [
        ("front-left", "inner", TakenWhen.FOUND),
        ("front-left", "inner", TakenWhen.LEFT),
    ]


def test_a_table_is_read_off_row_by_row() -> None:
    table = read_text(HEADS.encode(), "x").usable.steps[0]
    assert isinstance(table, MeasureStep)
    places = [f"{row.name} {column.name}" for row, column in table.cells()]
    assert places[:3] == ["1 intake", "1 exhaust", "2 intake"]
    assert len(places) == 12


def test_what_is_written_is_read_again_to_the_same_steps() -> None:
    procedure = read_text(HEADS.encode(), "x").usable
    again = read_text(to_yaml(procedure).encode(), "x")
    assert again.findings == ()
    assert differences(procedure, again.usable) == ()


def test_steps_without_an_id_have_a_number_and_the_row_and_those_behind_count_on() -> None:
    data = HEADS.replace("            id: wheel-off\n", "").replace("            id: wheel-on\n", "")
    data = data.replace("closing:", "  - chapter: End\n    steps:\n      - do: Wash the bench.\nclosing:")
    ids = [step.id for step in read_text(data.encode(), "x").usable.steps]
    assert ids[2:] == [
        "step-3--front-left", "pad--front-left", "step-5--front-left",
        "step-3--front-right", "pad--front-right", "step-5--front-right", "step-9",
    ]  # fmt: skip


def test_a_step_that_puts_back_what_another_of_its_block_took_off_belongs_to_its_own_row() -> None:
    data = changed("            id: wheel-on\n", "            id: wheel-on\n            refits: wheel-off\n")
    steps = {step.id: step for step in read_text(data, "x").usable.steps}
    assert steps["wheel-on--front-right"].refits == "wheel-off--front-right"


@pytest.mark.parametrize(
    ("old", "new", "rule", "line", "words"),
    [
        ("of: [front left, front right]", "of: []", "rows", 33, "nothing under of"),
        ("of: [front left, front right]", "of: [front left, Front-left]", "rows", 33, "stands twice"),
        ("of: [front left, front right]", "of: [left, lift]", "names-sound-apart", 33, 'sounds like "left"'),
        ("of: 1-6", "of: 1-60", "rows", 26, "120 readings"),
        ("of: 1-6", "of: 1-1000", "rows", 24, "neither a number nor a name"),
        ("limits: 0.15 to 0.25 mm", "limits: 0.15 to 0.25", "unit", 26, "pair of limits with a unit"),
        ("{name: exhaust, ", "{name: outlet, ", "names-are-heard", 27, '"outlet" is no word'),
        ("{name: exhaust, ", "{name: intake, ", "rows", 27, "stands twice"),
        ("id: wheel-off\n", "id: wheel-off-and-put-on-the-rack-of-it\n", "id-form", 36, "longer than 40"),
        ("for each: wheel", "for every: wheel", "missing-key", 32, "has no for each"),
        ("limits: at least 8 mm, when: left}", "limits: at least 8 mm, when: found}", "rows", 41, "stands twice"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(old: str, new: str, rule: str, line: int, words: str) -> None:
    found = [one for one in read_text(changed(old, new), "x").findings if one.rule == rule]
    assert {(one.line, words in one.text, bool(one.advice)) for one in found} == {(line, True, True)}, found


def test_a_doubt_about_a_step_of_a_block_is_told_once() -> None:
    data = changed("do: Take the wheel off.", "do: Take the wheel off and drain the oil as required.")
    found = [one for one in read_text(data, "x").findings if one.rule in ("one-instruction", "vague-words")]
    assert sorted(one.rule for one in found) == ["one-instruction", "vague-words"]


def test_more_steps_than_a_procedure_has_are_refused_at_the_block_that_makes_them() -> None:
    steps = "\n".join(f"          - {{id: look-{number}, do: Look at it.}}" for number in range(6))
    block = f"      - for each: wheel\n        of: 1-99\n        steps:\n{steps}\n"
    data = changed("  - chapter: Brakes\n    steps:\n", f"  - chapter: Brakes\n    steps:\n{block}")
    found = [one for one in read_text(data, "x").findings if one.rule == "too-many-steps"]
    assert [one.line for one in found][:1] == [32]
