"""What is no table, and a workbook that a spreadsheet or a bad will spoiled, gets one sentence; no file is lost."""

import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from tests.authoring.tables import (
    LAYOUTS,
    nm,
    read_draft,
    run,
    todos,
    workbook,
)


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
