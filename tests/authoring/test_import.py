"""Tightening tables of many layouts become the same programme; what is not sure is named and left out."""

import csv
import io
import re
import zipfile
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.authoring.grids.grid import Grid, squared
from assistant.authoring.importing import draft_of
from assistant.authoring.tables.head import find_head
from assistant.authoring.tables.programme import read_programme
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.tree import read_tree
from assistant.procedure.rules.table import check_rules
from assistant.procedure.steps.tighten import TightenStep


def nm(value):
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def deg(value):
    return Angle(Decimal(value), AngleUnit.DEGREE)


LONG, SHORT = (3, 4, 2, 5, 1, 6), (7, 8, 9, 10)
WANTED = [
    [(LONG, nm("4")), (SHORT, nm("4"))],
    [(LONG, nm("12.5")), (SHORT, nm("9"))],
    [(LONG, deg("90"))],
]
"""The programme that every layout below tells, typed by hand from the first of them."""


def workbook(rows, merged=(), formats=None, title="Torques"):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = title
    for row in rows:
        sheet.append(row)
    for area in merged:
        sheet.merge_cells(area)
    for cell, shown in (formats or {}).items():
        sheet[cell].number_format = shown
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


LAYOUTS = {
    "units in the head, a row for each group.csv": (
        "Group,Size,Bolts,Stage 1 (Nm),Stage 2 [N·m],Angle (°)\n"
        'long bolts,M8x60,"3-4, 2, 5, 1, 6",4,12.5,90\n'
        "short bolts,M6,7-10,4,9,-\n"
    ).encode(),
    "units in the cells, everything in one.csv": (
        "Name;Thread;Bolt numbers;Tightening\n"
        "long bolts;M8 x 60;3-4, 2, 5, 1, 6;4 Nm + 12,5 Nm + 90°\n"
        "short bolts;M6;7 to 10;4 Nm, then 9 Nm\n"
    ).encode("utf-8-sig"),
    "a row for each bolt, decimal commas, Latin-1, titles above.csv": (
        "Stirnplatte der Übungsmaschine\n\n"
        "Bolt;Size;Stage 1 Nm;Stage 2 Nm;Angle °\n"
        + "".join(f"{bolt};M8;4;12,5;90\n" for bolt in LONG)
        + "".join(f"{bolt};M6;4;9;\n" for bolt in SHORT)
    ).encode("cp1252"),
    "a row for each stage, with a column of units.csv": (
        "Group\tBolts\tStage\tValue\tUnit\n"
        "long bolts\t3-4, 2, 5, 1, 6\t1\t4\tNm\n"
        "\t\t2\t12.5\tNm\n"
        "\t\t3\t90\tdeg\n"
        "short bolts\t7-10\t1\t4\tNm\n"
        "short bolts\t7-10\t2\t9\tNm\n"
    ).encode("utf-16"),
    "stages in rows, groups in columns.xlsx": workbook([
        ["Torques of the front plate"],
        ["Group", "long bolts", "short bolts"],
        ["Size", "M8", "M6"],
        ["Bolts", "3-4, 2, 5, 1, 6", "7-10"],
        ["Stage 1", "4 Nm", "4 Nm"],
        ["Stage 2", "12.5 Nm", "9 Nm"],
        ["Stage 3", "90°", None],
    ]),
    "a head of two rows, with merged cells.xlsx": workbook(
        [
            ["Front plate", None, None, None, None, None],
            ["Group", "Size", "Bolts", "Stage 1", "Stage 2", None],
            [None, None, None, "Nm", "Nm", "°"],
            ["long bolts", "M8", "3-4, 2, 5, 1, 6", 4, 12.5, 90],
            ["short bolts", "M6", "7-10", 4, 9, None],
        ],
        ["A1:F1", "A2:A3", "B2:B3", "C2:C3", "E2:F2"],
    ),
    "a unit in the format of the cells, a first sheet of notes.xlsx": workbook(
        [
            ["Joint", "Bolts in order", "First stage", "Second stage", "Further angle"],
            ["long bolts", "3-4, 2, 5, 1, 6", 4, 12.5, 90],
            ["short bolts", "7-10", 4, 9, None],
        ],
        formats={"C2": '0" Nm"', "D2": '0.0" Nm"', "E2": '0"°"', "C3": '0" Nm"', "D3": '0" Nm"'},
    ),
    "one value over several rows.xlsx": workbook(
        [
            ["Group", "Bolt", "Torque 1 (Nm)", "Torque 2 (Nm)", "Angle (deg)"],
            *[["long bolts", bolt, 4 if bolt == 3 else None, 12.5, 90] for bolt in LONG],
            *[["short bolts", bolt, 4, 9, None] for bolt in SHORT],
        ],
        ["C2:C7"],
    ),
}  # fmt: skip


def run(tmp_path, name, data, *options):
    table = tmp_path / name
    table.write_bytes(data)
    out = tmp_path / "draft.yaml"
    result = CliRunner().invoke(app, ["import", str(table), str(out), *options])
    return result, out


def read_draft(out):
    findings = Findings("draft")
    draft = read_document(read_tree(out.read_text("utf-8"), findings), findings)
    assert findings.errors == 0, findings.result()
    return draft.procedure


def todos(written):
    """Return what the comments of a draft say that begin with TODO, each as one line."""
    found = []
    inside = False
    for line in written.splitlines():
        text = line.strip()
        if text.startswith("#"):
            inside = inside or text.startswith("# TODO")
            if text.startswith("# TODO"):
                found.append(text[2:])
            elif inside:
                found[-1] += " " + text[2:]
        else:
            inside = False
    return "\n".join(" ".join(text.split()) for text in found)


NOTHING = {"", "-", "–", "/", "n/a", "none"}


def numbers(text):
    """Return the numbers of a text, a range as all that it stands for."""
    found = set()
    for first, last in re.findall(r"(\d+)\s*(?:-|to)\s*(\d+)", text):
        found |= {str(number) for number in range(*sorted((int(first), int(last) + 1)))} if int(last) < 1000 else set()
    return found | set(re.findall(r"\d+(?:\.\d+)?", text)) | set(re.findall(r"\d+", text))


NOT_VALUES = {"Stage", "Order", "Qty", "No.", "Pos"}
"""Columns whose numbers are places and counts, which the draft has in another form."""


def assert_nothing_is_lost(table, written):
    """Check that the draft shows each cell as it was, and that no value is lost that no TODO names.

    The numbers of each cell below the heads stand in the steps or groups of the draft, or the cell stands in a TODO.
    """
    assert "nothing-undecided" in {finding.rule for finding in read_text(written.encode(), "draft").errors}
    lines = written.splitlines()
    shown = " ".join(" ".join(line.strip().removeprefix("# ") for line in lines).split())
    told, have = todos(written), numbers("\n".join(line for line in lines if not line.strip().startswith("#")))
    have |= numbers(" ".join(line for line in lines if line.strip().startswith("# they are")))  # the length of bolts
    cells = csv.reader(io.StringIO(table), delimiter=";" if ";" in table else ",") if isinstance(table, str) else table
    rows = squared([list(row) for row in cells])
    head = next(row for row in rows if len(set(row)) > 1)
    for row in rows:
        for name, cell in zip(head, row, strict=True):
            assert cell in shown, (cell, written)
            if row is head or name in NOT_VALUES or cell in told:
                continue
            decimal = numbers(cell.replace(",", ".")) - have
            assert not numbers(cell) - have or not decimal, (cell, written)


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_layout_tells_the_same_programme(tmp_path, name):
    result, out = run(tmp_path, name, LAYOUTS[name])
    assert result.exit_code == 0, result.output
    procedure = read_draft(out)
    (step,) = [step for step in procedure.steps if isinstance(step, TightenStep)]
    assert [[(run.bolts, run.target) for run in stage.runs] for stage in step.stages] == WANTED
    assert [set(group.bolts) for group in procedure.groups] == [set(LONG), set(SHORT)]
    assert "Not understood" not in result.output
    assert {finding.rule for finding in read_text(out.read_bytes(), "d").errors} <= {
        "nothing-undecided", "source-and-revision"
    }  # fmt: skip


def test_pound_feet_stay_pound_feet_and_bolts_that_are_only_counted_get_numbers_to_check(tmp_path):
    data = b"Fastener,Qty,Torque (lbf.ft)\nflange bolts,4,33\ncover bolts,2,80 lbf.in\n"
    result, out = run(tmp_path, "counted.csv", data)
    assert result.exit_code == 0, result.output
    procedure = read_draft(out)
    (step,) = procedure.steps
    targets = {run.group: (run.bolts, str(run.target)) for run in step.stages[0].runs}
    assert targets == {
        "flange-bolts": ((1, 2, 3, 4), "33 lbf·ft"),
        "cover-bolts": ((5, 6), "80 lbf·in"),
    }
    assert "TODO: the table counts these bolts and does not number them" in out.read_text("utf-8")


def test_a_torque_that_is_written_in_two_units_is_one_torque(tmp_path):
    # 40 N·m are 29.5 lbf·ft, and 89 lbf·in are 10.06 N·m: by the factors of NIST SP 811 (from memory).
    data = (
        "No.,Joint,Thread,Bolts,Torque (Nm),Torque (lbf.ft)\n"
        "1,cover,M8 - 10.9,1-4,40,29.5\n2,foot,M6x20,5-6,10 (89 lbf.in),\n"
    )
    result, out = run(tmp_path, "two.csv", data.encode())
    assert result.exit_code == 0, result.output
    procedure = read_draft(out)
    (stage,) = procedure.steps[0].stages
    assert [str(one.target) for one in stage.runs] == ["40 N·m", "10 N·m"]
    assert [(group.thread, group.strength) for group in procedure.groups] == [("M8", "10.9"), ("M6", "")]
    assert 'column A, "No.", was not understood' in result.output, "it numbers the rows, not the bolts"


NOT_SURE = [
    ("Bolt,Stage,Torque (Nm)\n1,A,18\n1,2,32\n", ['row 2, column B ("Stage")', "is written in another way"]),
    ("Group,Bolts,Stage 1\nlong,1-4,20\n", ['row 2, column C ("Stage 1")', '"20" has no unit']),
    ("Group,Bolts,Torque\nlong,1-4,20-25 Nm\n", ["row 2, column C", "is a range or has a tolerance"]),
    ("Group,Bolts,Torque\nlong,1-4,20 ± 2 Nm\n", ["row 2, column C", "is a range or has a tolerance"]),
    ("Group,Bolts,Torque (Nm)\nlong,1-4,see note\n", ["row 2, column C", "see note"]),
    ("Group;Bolts;Torque (Nm)\nlong;1-4;1,200\n", ["row 2, column C", "thousands or decimals"]),
    ("Group,Bolts,Torque (Nm)\nlong,6,20\nshort,4,10\n", ["row 2, column B", "may be bolt 6 or 6 bolts"]),
    ("Group,Bolts,Torque (nm)\nlong,1-4,20\n", ["No tightening table"]),
    ("Group,Bolts,Torque,Unit\nlong,1-4,20,nm\n", ["row 2, column D", "nanometre"]),
    ("Group,Bolts,Torque (Nm)\nlong,1-4,40000\n", ["row 2, column C", "more than any hand tool"]),
    ("Group,Bolts,Torque (Nm)\nlong,1-200,40\n", ["row 2, column B", "more than 99 bolts"]),
    ("Group,Bolts,Torque (Nm)\nlong,,40\n", ["row 2: it says neither which bolts nor how many"]),
    ("Group,Qty,Bolts,Torque (Nm)\nlong,5,1-4,40\n", ["row 2: it names 4 bolts but says that there are 5"]),
    ("Group,Bolts,Torque (Nm)\nlong,1-4,\n", ["row 2: it has no value"]),
    ("Bolt,Torque (Nm)\n1,40\n1,40\n", ["row 3: bolt 1 stands in an earlier row too"]),
    ("Group,Bolts,Stage,Torque (Nm)\na,1-4,1,5\na,1-4,1,9\n", ["row 3: stage 1 of bolt 1 stands in an earlier"]),
    (
        "Group,Bolts,Stage,Torque (Nm)\na,1-4,1,5\na,1-4,2,20 to 25\na,1-4,3,40\n",
        ["row 3, column D", "is a range", "nothing is drafted while one is missing"],
    ),
    ("Pos,Name,Torque (Nm)\n1,head,40\n2,sump,10\n", ["column A", "not understood", "row 2: it says neither"]),
    ("Group,Bolts,Torque (Nm),Torque (lbf.ft)\na,1-4,25,25\n", ["row 2, column D", "25 lbf·ft is not the same torque"]),
    ("Group,Bolts,Torque\na,1-4,25 Nm (25 lbf.ft)\n", ["row 2, column C", "not the same torque in another unit"]),
    ("Group,Size,Bolts,Torque (Nm)\nlong,5/16 UNC,1-4,40\n", ["row 2, column B", "is no metric size"]),
]


@pytest.mark.parametrize(("text", "says"), NOT_SURE)
def test_what_is_not_sure_is_named_with_its_place_and_left_out(tmp_path, text, says):
    result, out = run(tmp_path, "table.csv", text.encode())
    assert result.exit_code == 4
    for words in says:
        assert words in result.output
    if out.exists():
        written = out.read_text("utf-8")
        assert "TODO: not understood, or not sure: row" in written
        assert not [step for step in read_draft(out).steps if any(len(s.runs) != 1 for s in step.stages)]
        assert_nothing_is_lost(text, written)


def test_a_bare_number_gets_the_unit_that_the_person_names_and_no_other(tmp_path):
    data = b"Group,Bolts,Torque\nlong,1-4,20\n"
    result, out = run(tmp_path, "bare.csv", data, "--unit", "Nm")
    assert result.exit_code == 0, result.output
    assert read_draft(out).steps[0].stages[0].runs[0].target == nm("20")
    result, _ = run(tmp_path, "bare.csv", data, "--unit", "nm", "--force")
    assert result.exit_code == 2
    assert "not a unit of torque" in result.output


def test_it_is_told_what_was_understood_and_what_was_not(tmp_path):
    data = b"Pump\nGroup,Bolts,Supplier,Torque (Nm)\nlong,1-4,red box,20\nChecked by hand,,,\n"
    result, out = run(tmp_path, "told.csv", data)
    assert result.exit_code == 4, "what stands in a column that is not understood may be what matters"
    assert_nothing_is_lost(data.decode(), out.read_text("utf-8"))
    for words in (
        'column B, "Bolts": bolt numbers',
        'column D, "Torque (Nm)": value of a stage, in N·m',
        'column C, "Supplier", was not understood.',
        "row 1 stands above the head, and is no part of the table: Pump",
        'column C ("Supplier"): nothing was made of what it says (row 3: red box): write it into the draft',
        'row 4: it has no values, and says "Checked by hand": add them, or take the row out.',
        "long: bolts 1-4: 20 N·m  [row 3]",
    ):
        assert words in result.output


def bomb():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>")
        packed.writestr("xl/worksheets/sheet1.xml", bytes(30_000_000))
    return made.getvalue()


def merging(area):
    good = workbook([["Bolt", "Torque (Nm)"], [1, 20]], ["A3:B3"])
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as old, zipfile.ZipFile(made, "w") as new:
        for part in old.infolist():
            new.writestr(part, old.read(part).replace(b"A3:B3", area))
    return made.getvalue()


def zipped(names):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name in names:
            packed.writestr(name, "x")
    return made.getvalue()


HOSTILE = {
    "empty.csv": (b"", "is empty"),
    "blank.csv": (b" \n\n", "is empty"),
    "one.csv": (b"only words here", "is no table"),
    "prose.csv": (b"Dear colleague,\nplease tighten it well, thank you.\n", "No tightening table"),
    "picture.csv": (b"\x89PNG\r\n\x1a\n" + bytes(50), "a picture"),
    "page.csv": (b"%PDF-1.7", "a PDF"),
    "old.xls": (b"\xd0\xcf\x11\xe0" + bytes(600), "an old Excel file, or one with a password"),
    "bytes.csv": (bytes(range(256)) * 8, "neither a spreadsheet nor text"),
    "long.csv": (b"a,b\n" * 2_000_000, "longer than"),
    "many rows.csv": (b"Bolt,Torque (Nm)\n" + b"1,2\n" * 5000, "is no table"),
    "archive.xlsx": (zipped(["readme.txt"]), "ZIP archive"),
    "table.ods": (zipped(["mimetype", "content.xml"]), "OpenDocument"),
    "half.xlsx": (workbook([["Bolt", "Torque (Nm)"], [1, 20]])[:1500], "damaged workbook"),
    "not xml.xlsx": (zipped(["xl/workbook.xml", "[Content_Types].xml"]), "damaged workbook"),
    "bomb.xlsx": (bomb(), "unpacks to more"),
    "merged.xlsx": (merging(b"A1:XFD1048576"), "merges more cells"),
    "nothing.xlsx": (workbook([]), "no tab with anything on it"),
    "far.xlsx": (workbook([[None] * 200 + ["x"]]), "beyond row"),
}


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.timeout(20)
def test_what_is_no_table_gets_one_sentence(tmp_path, name):
    data, says = HOSTILE[name]
    result, out = run(tmp_path, name, data)
    assert result.exit_code == 4, result.output
    assert says in result.output
    assert len(result.output.strip().splitlines()) == 1
    assert not out.exists()


def test_cells_that_a_spreadsheet_spoiled_are_named(tmp_path):
    import datetime

    book = openpyxl.Workbook()
    sheet = book.active
    for row in (
        ["Bolts", "Torque (Nm)"],
        [datetime.date(2026, 6, 1), 20],
        ["7-10", "=10*2"],
        ["11-12", "#REF!"],
        [None, None, "=1"],
    ):
        sheet.append(row)
    made = io.BytesIO()
    book.save(made)
    result, _ = run(tmp_path, "spoiled.xlsx", made.getvalue())
    assert result.exit_code == 4
    assert "row 2, column A" in result.output
    assert "took it for a date" in result.output
    assert "row 3, column B" in result.output
    assert "its formula has no stored result" in result.output
    assert "row 4, column B" in result.output
    assert "row 5, column C: its formula has no stored result" in result.output, "also outside the table"


def test_a_tab_is_chosen_by_its_name_and_a_wrong_name_is_told(tmp_path):
    book = openpyxl.load_workbook(io.BytesIO(LAYOUTS["stages in rows, groups in columns.xlsx"]))
    other = book.create_sheet("Old values")
    for row in (["Group", "Bolts", "Stage 1 (Nm)"], ["x", "1-2", 99]):
        other.append(row)
    made = io.BytesIO()
    book.save(made)
    result, out = run(tmp_path, "two.xlsx", made.getvalue(), "--tab", "Old values")
    assert result.exit_code == 0, result.output
    assert read_draft(out).steps[0].stages[0].runs[0].target == nm("99")
    result, out = run(tmp_path, "two.xlsx", made.getvalue(), "--force")
    assert result.exit_code == 4, "which of two tables is meant is not guessed"
    assert "TODO: not understood, or not sure: two.xlsx, tab 'Old values' has a table too" in todos(
        out.read_text("utf-8")
    )
    result, _ = run(tmp_path, "two.xlsx", made.getvalue(), "--tab", "New values", "--force")
    assert result.exit_code == 4
    assert "it has Torques, Old values" in result.output


@pytest.mark.parametrize("name", ["no.csv", "folder"])
def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path, name):
    (tmp_path / "folder").mkdir()
    result = CliRunner().invoke(app, ["import", str(tmp_path / name)])
    assert result.exit_code == 4
    assert len(result.output.strip().splitlines()) == 1


def test_a_draft_never_replaces_a_file_unless_told_and_then_keeps_it(tmp_path):
    data = LAYOUTS["units in the head, a row for each group.csv"]
    (tmp_path / "draft.yaml").write_text("mine", "utf-8")
    result, out = run(tmp_path, "t.csv", data)
    assert result.exit_code == 8
    assert out.read_text("utf-8") == "mine"
    result, out = run(tmp_path, "t.csv", data, "--force")
    assert result.exit_code == 0
    assert Path(f"{out}.bak").read_text("utf-8") == "mine"


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
