"""Tables with passes in their stages: what stays as it is printed, and the sentence for each that cannot be kept."""

import pytest

from assistant.procedure.steps.tighten import TightenStep
from tests.authoring.tables import assert_nothing_is_lost, read_draft, run

HEAD = "Bolts in order;Stage;Pass;Label;Purpose;Value;Repeat;Together;Tool;Reseat\n"
BAD = [
    ("a pass without a stage", "1-3;;2;;;20 Nm;;;;", 'row 2, column B ("Stage"): it names pass 2 and no stage'),
    ("no number of a pass", "1-3;1;b;;;20 Nm;;;;", 'row 2, column C ("Pass"): "b" is not the number of a pass'),
    (
        "a repeat on loosening",
        "1-3;1;;;;20 Nm;;;;\n1-3;2;;;loosen;90°;2;;;",
        'row 3, column G ("Repeat"): a pass that loosens is repeated here',
    ),
    (
        "two stages of one number",
        "1-3;1;;;;20 Nm;;;;\n1-3;2;;;;30 Nm;;;;\n1-3;1;;;;40 Nm;;;;",
        'row 4, column B ("Stage"): stage 1 begins in row 2 already, and another stage stands between',
    ),
    (
        "a pass that is missing",
        "1-3;1;1;;;20 Nm;;;;\n1-3;1;3;;;30 Nm;;;;",
        'row 3, column C ("Pass"): pass 3 of stage 1 comes after pass 1',
    ),
    ("fewer passes than said", "1-3;1;1 of 2;;;20 Nm;;;;", "stage 1 is said to have 2 passes, and has 1 here"),
    (
        "a pass without its number",
        "1-3;1;1;;;20 Nm;;;;\n1-3;1;;;;30 Nm;;;;",
        'row 3, column C ("Pass"): it names no pass, in stage 1',
    ),
    (
        "torque and angle in a pass",
        "1-3;1;1;;;20 Nm;;;;\n4-6;1;1;;;30°;;;;",
        'row 3, column C ("Pass"): pass 1 of stage 1 has a torque and an angle',
    ),
    (
        "a bolt twice in a pass",
        "1-3;1;1;;;20 Nm;;;;\n3;1;1;;;20 Nm;;;;",
        'row 3, column C ("Pass"): bolt 3 stands twice in pass 1 of stage 1',
    ),
    (
        "two purposes in a pass",
        "1-3;1;1;;;20°;;;;\n4-6;1;1;;loosen;20°;;;;",
        'row 3, column E ("Purpose"): it differs from the row above',
    ),
    ("two values in a pass", "1-3;1;1;;;20 Nm + 30°;;;;", "this row is one pass and has 2 values"),
    ("two values repeated", "1-3;1;;;;20 Nm + 30°;3;;;", 'column G ("Repeat"): this row is one pass and has 2 values'),
    ("no purpose that is known", "1-3;1;;;oil;20 Nm;;;;", 'row 2, column E ("Purpose"): "oil" is not known'),
    ("a torque that loosens", "1-3;1;;;loosen;20 Nm;;;;", "it loosens and has a torque"),
    ("an angle that checks", "1-3;1;;;check;20°;;;;", "it checks and has an angle"),
    ("too many repetitions", "1-3;1;;;;20°;99;;;", '"99" is not how often a pass is done'),
    ("together, but alone", "1;1;;;;20°;;yes;;", 'column H ("Together"): one bolt alone cannot be turned together'),
    ("perhaps together", "1-2;1;;;;20°;;maybe;;", "does not say whether they are turned together"),
    (
        "two names of a stage",
        "1-3;1;;Snug;;20 Nm;;;;\n4-6;1;;Final;;30 Nm;;;;",
        'row 3, column D ("Label"): stage 1 is called "Snug" above, and "Final" here',
    ),
    (
        "one name of two stages",
        "1-3;1;;Snug;;20 Nm;;;;\n1-3;2;;Snug;;30 Nm;;;;",
        'row 3, column D ("Label"): stage 2 is called "Snug", as stage 1 is',
    ),
    (
        "again from a stage that is not there",
        "1-3;1;;;;20 Nm;;;;\n1-3;2;;;loosen;90°;;;;9",
        'row 3, column J ("Reseat"): all is done once more from stage 9, which does not come before stage 2',
    ),
    (
        "again without loosening",
        "1-3;1;;;;20 Nm;;;;\n1-3;2;;;;30 Nm;;;;1",
        'row 3, column J ("Reseat"): only a stage that loosens',
    ),
]


@pytest.mark.parametrize(("rows", "says"), [case[1:] for case in BAD], ids=[case[0] for case in BAD])
def test_a_table_that_cannot_be_kept_as_it_is_gets_a_sentence_with_its_place(tmp_path, rows, says):
    result, out = run(tmp_path, "bad.csv", f"{HEAD}{rows}\n".encode())
    assert result.exit_code == 4
    assert says in result.output
    assert not out.exists(), "a programme that lacks a row looks whole"


def step_of(tmp_path, table):
    result, out = run(tmp_path, "table.csv", table.encode())
    (step,) = (step for step in read_draft(out).steps if isinstance(step, TightenStep))
    return step, result, out.read_text("utf-8")


def test_rows_of_one_stage_become_its_passes_also_where_the_table_does_not_number_them(tmp_path):
    table = "Group,Bolts,Stage,Value\na,1-3,1,18 Nm\na,1-3,2,32 Nm\nb,4-5,2,9 Nm\na,1-3,2,60°\n"
    step, result, _ = step_of(tmp_path, table)
    assert result.exit_code == 0, result.output
    assert [[[run.bolts for run in one.runs] for one in stage.passes] for stage in step.stages] == [
        [[(1, 2, 3)]],
        [[(1, 2, 3), (4, 5)], [(1, 2, 3)]],
    ]


def test_the_makers_own_numbers_stay_where_they_are_not_the_places(tmp_path):
    step, _, _ = step_of(tmp_path, "Bolts in order,Stage 1 (Nm),Stage 2a (Nm),Stage 2b\n1-3,5,18,60°\n")
    assert [stage.number for stage in step.stages] == ["1", "2a", "2b"]


def test_numbers_that_are_the_places_are_not_written(tmp_path):
    step, _, _ = step_of(tmp_path, "Bolts in order,First stage (Nm),Second stage (Nm)\n1-3,5,18\n")
    assert [stage.number for stage in step.stages] == ["", ""]


def test_a_stage_that_stands_behind_a_later_one_stays_there_and_is_asked_about(tmp_path):
    table = HEAD + "1-3;2;;;;20 Nm;;;;\n1-3;1;;;;30 Nm;;;;\n"
    step, result, written = step_of(tmp_path, table)
    assert [stage.number for stage in step.stages] == ["2", "1"]
    assert result.exit_code == 4
    assert 'row 3, column B ("Stage"): stage 1 stands behind stage 2, and is drafted as it stands' in result.output
    assert_nothing_is_lost(table, written)


def test_rows_that_are_put_in_the_order_of_their_stages_are_told(tmp_path):
    _, result, _ = step_of(tmp_path, "Group,Bolts,Stage,Torque (Nm)\na,1-3,1,5\na,1-3,2,9\nb,4-6,1,5\n")
    assert "The rows were put in the order of their stages." in result.output


def test_without_a_column_of_stages_nothing_is_said_of_passes_and_the_cells_are_told(tmp_path):
    table = "Group,Bolts,Torque (Nm),Repeat\na,1-3,5,2\n"
    _, result, written = step_of(tmp_path, table)
    assert result.exit_code == 4
    assert 'column D ("Repeat"): nothing was made of what it says (row 2: 2)' in result.output
    assert_nothing_is_lost(table, written)
