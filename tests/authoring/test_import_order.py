"""The order of a tightening table is that of its draft, and any table gives a draft or a sentence."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.authoring.grids.grid import Grid, squared
from assistant.authoring.importing import draft_of
from assistant.authoring.tables.head import find_head
from assistant.authoring.tables.programme import read_programme
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.tree import read_tree
from assistant.procedure.rules.table import check_rules
from assistant.procedure.steps.tighten import TightenStep
from tests.authoring.tables import (
    assert_nothing_is_lost,
    deg,
    nm,
    read_draft,
    run,
    todos,
)


def drafted(rows):
    """Return the actions of the draft of a table, bolt by bolt, in the order in which they are read aloud."""
    head = find_head([Grid("table", squared(rows))])
    assert head is not None
    programme = read_programme(head, None)
    text = draft_of("table", programme)
    findings = Findings("draft")
    draft = read_document(read_tree(text, findings), findings)
    assert not findings.result(), findings.result()
    check_rules(draft, findings)
    assert {finding.rule for finding in findings.result()} & HELD == set(), findings.result()
    steps = [step for step in draft.procedure.steps if isinstance(step, TightenStep)]
    runs = [run for step in steps for stage in step.stages for run in stage.runs]
    return [(bolt, run.target) for run in runs for bolt in run.bolts], programme, text


HELD = {"every-bolt-once", "one-target-kind", "clear-bolt-numbers", "bolts-in-group", "unique-ids", "references"}
"""The rules that no draft breaks, because what they are about does not depend on the values of the table."""


def listed(*bolts):
    return ", ".join(map(str, bolts))


@pytest.mark.parametrize(
    "heads",
    [
        ("Stage 1", "Stage 2a", "Stage 2b", "Stage III"),
        ("Stage I", "Stage II", "Stage III", "Stage IV"),
        ("1st stage", "Second stage", "Pass 3", "Stage 3.1"),
        ("Stage A", "Stage B", "Stage C", "Torque d"),
    ],
)
def test_stages_are_known_by_every_usual_name_and_none_is_left_out(heads):
    rows = [["Group", "Bolts", *(f"{head} (Nm)" for head in heads)], ["long", "1-3", "5", "11", "18", "32"]]
    actions, programme, _ = drafted(rows)
    assert actions == [(bolt, nm(value)) for value in (5, 11, 18, 32) for bolt in (1, 2, 3)]
    assert not programme.wrong


def test_a_stage_under_a_head_that_is_not_understood_stands_in_the_draft_and_keeps_it_from_being_used(tmp_path):
    table = "Group,Bolts,Stage 1 (Nm),Last go (Nm)\nlong,1-3,18,32\nshort,4-8,9,14\n"
    result, out = run(tmp_path, "head.csv", table.encode())
    assert result.exit_code == 4
    assert 'column D ("Last go (Nm)"): nothing was made of what it says (row 2: 32; row 3: 14): write it' in todos(
        out.read_text("utf-8")
    )
    assert_nothing_is_lost(table, out.read_text("utf-8"))
    assert CliRunner().invoke(app, ["check", str(out)]).exit_code == 4


INTERLEAVED = {
    "all, then the inner ones, then the outer ones, by stages": (
        [["Bolts", "Stage", "Torque (Nm)"], ["2-7", "1", "18"], ["2-4", "2", "32"], ["5-7", "3", "25"]],
        [*[(n, nm(18)) for n in range(2, 8)], *[(n, nm(32)) for n in (2, 3, 4)], *[(n, nm(25)) for n in (5, 6, 7)]],
    ),
    "all once more at the end": (
        [["Bolts", "Stage", "Torque (Nm)"], ["2-7", "1", "18"], ["2-4", "2", "32"], ["5-7", "3", "25"],
         ["2-7", "4", "40"]],
        [
            *[(n, nm(18)) for n in range(2, 8)], *[(n, nm(32)) for n in (2, 3, 4)], *[(n, nm(25)) for n in (5, 6, 7)],
            *[(n, nm(40)) for n in range(2, 8)],
        ],
    ),
    "the torque in one row, the angle in another": (
        [["Bolts", "Torque (Nm)", "Angle (°)"], ["1-3", "18", ""], ["4-6", "14", ""], ["4-6", "", "40"],
         ["1-3", "", "60"]],
        [
            *[(n, nm(18)) for n in (1, 2, 3)], *[(n, nm(14)) for n in (4, 5, 6)],
            *[(n, deg(40)) for n in (4, 5, 6)], *[(n, deg(60)) for n in (1, 2, 3)],
        ],
    ),
    "both in one stage": (
        [["Bolts", "Stage", "Value"], ["1-3", "1", "18 Nm"], ["1-3", "2", "32 Nm"], ["1-3", "2", "60°"]],
        [(n, target) for target in (nm(18), nm(32), deg(60)) for n in (1, 2, 3)],
    ),
    "more of one stage in a second row": (
        [["Bolts", "Stage", "Value"], ["1-3", "1", "18 Nm"], ["1-3", "1", "60° + 20 Nm"]],
        [(n, target) for target in (nm(18), deg(60), nm(20)) for n in (1, 2, 3)],
    ),
    "another order in stage two": (
        [["Group", "Bolts", "Stage", "Torque (Nm)"], ["rim", "1, 3, 2, 4", "1", "18"],
         ["rim", "4, 2, 3, 1", "2", "32"]],
        [*[(n, nm(18)) for n in (1, 3, 2, 4)], *[(n, nm(32)) for n in (4, 2, 3, 1)]],
    ),
    "torque and angle side by side in one stage": (
        [["Group", "Bolts", "Stage 1", "Stage 2"], ["a", "1-2", "18 Nm", "60°"], ["b", "3-4", "9 Nm", "14 Nm"],
         ["c", "5-6", "9 Nm", "40°"]],
        [
            (1, nm(18)), (2, nm(18)), (3, nm(9)), (4, nm(9)), (5, nm(9)), (6, nm(9)),
            (1, deg(60)), (2, deg(60)), (3, nm(14)), (4, nm(14)), (5, deg(40)), (6, deg(40)),
        ],
    ),
    "rows that go through two groups in turn": (
        [["Bolt", "Size", "Torque (Nm)"], ["1", "M8", "18"], ["2", "M6", "9"], ["3", "M8", "18"], ["4", "M6", "9"]],
        [(1, nm(18)), (2, nm(9)), (3, nm(18)), (4, nm(9))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", INTERLEAVED)
def test_the_order_of_the_table_is_the_order_of_the_draft(name):
    rows, wanted = INTERLEAVED[name]
    actions, programme, _ = drafted(rows)
    assert actions == wanted
    assert not programme.wrong


def test_rows_that_may_be_stages_are_drafted_in_their_order_and_asked_about(tmp_path):
    table = "Bolts,Torque (Nm)\n2-7,18\n2-4,32\n5-7,25\n"
    result, out = run(tmp_path, "rows.csv", table.encode())
    assert result.exit_code == 4
    assert "row 3: its bolts stand in an earlier row too" in result.output
    (step,) = read_draft(out).steps
    assert [[(one.bolts, one.target) for one in stage.runs] for stage in step.stages] == [
        [((2, 3, 4, 5, 6, 7), nm(18))], [((2, 3, 4), nm(32)), ((5, 6, 7), nm(25))]
    ]  # fmt: skip
    assert_nothing_is_lost(table, out.read_text("utf-8"))


def test_one_number_under_two_names_is_asked_about(tmp_path):
    table = "Group,Bolts,Stage,Torque (Nm)\nall,2-7,1,18\ninner,2-4,2,32\nall,2-7,3,40\n"
    result, out = run(tmp_path, "names.csv", table.encode())
    assert result.exit_code == 4
    assert 'bolt 2 stands here and in row 2, in the groups "all" and "inner"' in todos(out.read_text("utf-8"))
    assert_nothing_is_lost(table, out.read_text("utf-8"))


def test_columns_of_stages_that_stand_in_another_order_are_asked_about(tmp_path):
    result, out = run(tmp_path, "back.csv", b"Bolts,Stage 2 (Nm),Stage 1 (Nm)\n1-3,32,18\n")
    assert result.exit_code == 4
    assert '"Stage 1 (Nm)" stands behind "Stage 2 (Nm)"' in todos(out.read_text("utf-8"))


def test_two_columns_of_the_same_stage_are_asked_about_when_both_are_torques_or_both_are_angles(tmp_path):
    result, out = run(tmp_path, "twice.csv", b"Bolts,Stage 1,Stage 1,Stage 2\n1-3,18 Nm,32 Nm,60 deg\n")
    assert result.exit_code == 4
    assert 'column C: "Stage 1" names the same stage as the column before it' in todos(out.read_text("utf-8"))
    result, _ = run(tmp_path, "both.csv", b"Bolts,Stage 1,Stage 1,Stage 2\n1-3,18 Nm,60 deg,60 deg\n", "--force")
    assert result.exit_code == 0, "a stage may have a torque and its angle"


@st.composite
def programmes(draw):
    """Return groups of bolts, and stages of rows: which bolts of one group, in which order, to which target."""
    sizes = draw(st.lists(st.integers(1, 4), min_size=1, max_size=3))
    groups, first = [], 1
    for size in sizes:
        groups.append(list(range(first, first + size)))
        first += size
    targets = st.integers(1, 90).map(nm) | st.integers(1, 90).map(deg)
    stages = []
    for _ in range(draw(st.integers(1, 4))):
        rows = []
        for number in draw(st.permutations(range(len(groups)))):
            bolts = draw(st.permutations(groups[number]))
            cut = draw(st.integers(0, len(bolts)))
            rows += [(number, piece, draw(targets)) for piece in (bolts[:cut], bolts[cut:]) if piece]
        stages.append(draw(st.permutations(rows)))
    return stages


STYLES = (
    lambda n: ["1", "2a", "2b", "III"][n],
    lambda n: str(n + 1),
    lambda n: ["1", "2a", "2b", "3"][n],
    lambda n: ["I", "II", "III", "IV"][n],
)


@settings(max_examples=150, deadline=None)
@given(programmes(), st.sampled_from(STYLES), st.booleans(), st.booleans())
def test_a_table_of_stages_gives_every_action_in_its_order(stages, style, named, by_group):
    """The expected order is that of the programme that the table was made from, which import never sees."""
    rows = [(place, *row) for place, stage in enumerate(stages) for row in stage]
    rows = sorted(rows, key=lambda row: row[1]) if by_group else rows  # the stages of each group under each other
    table = [["Group", "Bolt", "Stage", "Value"]]
    table += [
        [f"set {'abc'[number]}" if named else "", listed(*bolts), style(place), str(target)]
        for place, number, bolts, target in rows
    ]
    actions, programme, text = drafted(table)
    wanted = sorted(rows, key=lambda row: row[0])
    assert actions == [(bolt, target) for _, _, bolts, target in wanted for bolt in bolts]
    assert not programme.wrong
    assert_nothing_is_lost(table, text)


@settings(max_examples=100, deadline=None)
@given(st.data(), st.integers(1, 4), st.sampled_from(STYLES))
def test_a_table_with_stages_in_columns_gives_every_action_in_its_order(data, columns, style):
    sets = data.draw(st.lists(st.integers(1, 12), min_size=1, max_size=12, unique=True))
    rows, cuts = [], sorted(data.draw(st.sets(st.integers(1, 12), max_size=3)))
    for first, last in zip([0, *cuts], [*cuts, len(sets)], strict=True):
        values = data.draw(st.lists(st.none() | st.integers(1, 90), min_size=columns, max_size=columns))
        if sets[first:last] and any(values):
            kinds = data.draw(st.lists(st.sampled_from([nm, deg]), min_size=columns, max_size=columns))
            rows.append((sets[first:last], [value and kind(value) for value, kind in zip(values, kinds, strict=True)]))
    if not rows:
        return
    table = [["Bolts in order", *(f"Stage {style(place)}" for place in range(columns))]]
    table += [[f"Bolt {listed(*bolts)}", *(str(target or "") for target in targets)] for bolts, targets in rows]
    actions, programme, text = drafted(table)
    wanted = [(bolts, targets[place]) for place in range(columns) for bolts, targets in rows if targets[place]]
    assert actions == [(bolt, target) for bolts, target in wanted for bolt in bolts]
    assert not programme.wrong
    assert_nothing_is_lost(table, text)


HEADS = [
    "Group",
    "Bolts",
    "Qty",
    "Size",
    "Stage 1 (Nm)",
    "Torque",
    "°",
    "Unit",
    "Stage",
    "Stage 2a",
    "Pass III (Nm)",
    "Order",
    "Length",
    "Remarks",
    "Torque (lbf.ft)",
    "?",
]
WORDS = [
    "1-6", "3, 1", "7", "8 & 9", "6-6", "Bolt ", "40", "4,5", "1,200", "32 Nm + 60°", "½ turn", "1/0 turn", "0 Nm",
    "-5 Nm", "99999", "1e9 Nm", "N·m (4 lbf.ft)", "9" * 40,
    "M8", "M10x1.25", "M9", "long", "nm", "Nm", "-", "", "+",
    "then",     "=1+1", "'", '"', "# x", "a: b", "Group", "\u202e", "2", "3",
]  # fmt: skip


def test_a_table_of_stages_in_which_no_row_names_the_bolts_says_so():
    rows = [["Bolts", "Stage", "Stage 2 (Nm)"], ["long bolts", "1", "12"], ["", "2", "40"]]
    head = find_head([Grid("stages", squared(rows))])
    assert head is not None
    programme = read_programme(head, None)
    assert not programme.groups
    assert programme.wrong[0].told == "row 2: it says neither which bolts nor how many: add them."


@st.composite
def tables(draw):
    heads = draw(st.lists(st.sampled_from(HEADS), min_size=2, max_size=6))
    heads[draw(st.integers(0, len(heads) - 1))] = draw(st.sampled_from(["Bolts", "Qty"]))
    heads.append("Stage 2 (Nm)")
    cell = st.sampled_from(WORDS) | st.text(max_size=8)
    rows = draw(st.lists(st.lists(cell, min_size=len(heads), max_size=len(heads)), min_size=1, max_size=6))
    for row in rows:
        row[-1] = draw(st.sampled_from(["12", "12 Nm", "4,5", row[-1]]))
    return [heads, *rows]


@settings(max_examples=400, deadline=None)
@given(tables())
def test_whatever_stands_in_a_table_gives_a_draft_that_can_be_read_or_a_sentence(rows):
    head = find_head([Grid("fuzz", squared(rows))])
    if head is None:
        return
    programme = read_programme(head, None)
    assert all(found.told.endswith((".", "?")) for found in programme.wrong)
    if programme.groups:
        findings = Findings("draft")
        tree = read_tree(draft_of("fuzz", programme), findings)
        assert tree is not None
        assert read_document(tree, findings) is not None
        assert not findings.result(), findings.result()
        assert_nothing_is_lost(rows, draft_of("fuzz", programme))
