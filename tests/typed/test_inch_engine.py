"""A job in inches, pounds and gallons beside metric values: what the papers of it print."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.report.pdf_text import page_texts
from tests.typed.play import ROOT

PROCEDURE = ROOT / "tests/typed/procedures/inch-engine.yaml"
TOOLS = ROOT / "tests/typed/tools/inch-bench.yaml"
TALK = ROOT / "tests/typed/talks/inch-engine.txt"


def run(*words: object) -> str:
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.output


def shown(path: Path) -> str:
    """Return the text of a page, without its marks."""
    return " ".join(re.sub(r"<[^>]+>", " ", path.read_text("utf-8")).split())


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    run("rehearse", PROCEDURE, "--typed", TALK, "--tools", TOOLS)
    run("record", "last", "--html", tmp_path / "record.html")
    return shown(tmp_path / "record.html")


def test_the_record_keeps_each_value_in_the_unit_in_which_it_was_read(record: str) -> None:
    for text in ("8 to 12 thou", "15 to 18.5 thou", "4.5 thou", "12.5 mm", "31 lbf·ft", "32 lbf·ft", "120 lbf·in",
                 "1.25 US gal", "2.8 l"):  # fmt: skip
        assert text in record, text
    assert "middle-out order" in record


def test_the_work_sheet_and_the_programme_print_them_as_the_file_has_them(tmp_path: Path) -> None:
    run("sheet", PROCEDURE, "--pdf", tmp_path / "sheet.pdf")
    sheet = "".join(page_texts((tmp_path / "sheet.pdf").read_bytes()) or ())
    for text in (
        "8 to 12 thou",
        "31 lbf·ft",
        "120 lbf·in",
        "22 N·m",
        "1.25 US gal",
        "order drafted (middle-out order)",
    ):
        assert text.replace(" ", "") in sheet, text
    programme = run("programme", PROCEDURE)
    # ASME B1.1: 3/8-16 has 0.0775 in², 1/4-28 has 0.0364 in². SAE J429: proof of grade 5 is 85 ksi, of grade 8 120 ksi.
    # So 50.0 mm² and 29.3 kN, 23.5 mm² and 19.4 kN (all from memory, converted on paper).
    cover, plate = (next(line for line in programme.split("\n") if line.startswith(f"{name} ") and "grade" in line)
                    for name in ("cover bolts", "plate screws"))  # fmt: skip
    assert re.search(r"3/8-16\s+grade 5\s.*\s50\.0\s+29\.3\s", cover), cover
    assert re.search(r"1/4-28\s+grade 8\s.*\s23\.5\s+19\.4\s", plate), plate


def test_a_table_of_inch_bolts_is_imported_with_threads_and_grades(tmp_path: Path) -> None:
    table = tmp_path / "bolts.csv"
    table.write_text(
        'Group,Size,Bolts,Torque (ft-lb)\nlong,"3/8-16 UNC, grade 5",1-4,31\nshort,1/4-28,5-6,8\n'
        'lid,#10-32 UNF,7-8,2\ncap,"No. 8-32, grade 5",9-10,1.5\n',
        "utf-8",
    )
    out = tmp_path / "draft.yaml"
    CliRunner().invoke(app, ["import", str(table), str(out)])
    text = out.read_text("utf-8")
    sizes = ("three eighths inch", "3/8-16", "quarter inch", "1/4-28", "number ten, thirty-two", "'#10-32'", "'#8-32'")
    for part in (*sizes, "31 lbf·ft", "8 lbf·ft"):
        assert part in text, part
    assert re.search(r"class: '?\"?5\b", text)
