"""Tables to be imported, and what their drafts say."""

import csv
import io
import re
from decimal import Decimal

import openpyxl
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.authoring.grids.grid import squared
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.tree import read_tree


def nm(value):
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def deg(value):
    return Angle(Decimal(value), AngleUnit.DEGREE)


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


LONG, SHORT = (3, 4, 2, 5, 1, 6), (7, 8, 9, 10)
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
