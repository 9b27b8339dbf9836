"""The sheet of the order: from a table or a procedure, beside what is published, with its map and its passes."""

import json
import math

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app


def run(*words):
    return CliRunner().invoke(app, ["work-out", "order", *map(str, words)])


def worked(*words):
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def table(folder, rows, head="bolt,x,y"):
    path = folder / "cover.csv"
    path.write_text("\n".join([head, *(",".join(map(str, row)) for row in rows)]), "utf-8")
    return path


def ring(count):
    return [
        (n + 1, round(150 * math.sin(math.tau * n / count), 1), round(150 * math.cos(math.tau * n / count), 1))
        for n in range(count)
    ]


def test_a_circle_has_the_published_patterns_beside_it(tmp_path):
    found = worked(table(tmp_path, ring(16)))
    # ASME PCC-1, legacy table, sixteen bolts (from memory).
    assert found["order"] == [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16]
    assert [row["order"] for row in found["table"]] == [
        "cross pattern (drafted)",
        "PCC-1 legacy cross pattern",
        "PCC-1 quadrant pattern",
        "one beside the other",
    ]
    assert found["answer"][1] == "It is the same as: PCC-1 legacy cross pattern."
    assert found["drafted"] is True


def test_an_irregular_cover_says_that_nothing_published_applies_and_draws_a_map_marked_as_drafted(tmp_path):
    rows = [(1, "0", "6 in"), (2, "3.5in", "4 in"), (3, "120 mm", "0 in"), (4, "3 in", "-3.5 in"), (5, "0 mm", "-6 in"),
            (6, "-3 in", "-3.5 in"), (7, "-4.5 in", "0"), (8, "-3.5 in", "101.6 mm")]  # fmt: skip
    drawn = tmp_path / "cover.svg"
    result = run(table(tmp_path, rows), "--torque", "33lbf.ft", "--svg", drawn)
    assert result.exit_code == 0
    assert "Drafted order, not the maker's (middle-out order): 1, 5, 3, 7, 2, 6, 8, 4." in result.output
    assert "No published pattern applies: the bolts stand on no one even circle." in result.output
    # 30 % of 33 is 9.9, 70 % is 23.1: on paper.
    assert "1. 9.9 lbf·ft, 30 % (PCC-1: 20 to 30 %), in this order." in result.output
    assert "2. 23.1 lbf·ft, 70 % (PCC-1: 50 to 70 %), in this order." in result.output
    assert "4. 33 lbf·ft, 100 % (PCC-1: 100 %), once around, one beside the other" in result.output
    svg = drawn.read_text("utf-8")
    assert "Drafted order, not the maker&#x27;s: middle-out order" in svg
    assert "DRAFTED ORDER (middle-out order)" in svg
    assert "8th*" in svg
    assert "33 lbf·ft" in svg


def test_a_map_without_a_torque_shows_none(tmp_path):
    drawn = tmp_path / "cover.svg"
    assert run(table(tmp_path, ring(9)), "--svg", drawn).exit_code == 0
    assert "N·m" not in drawn.read_text("utf-8")


def test_the_order_of_a_procedure_stands_beside_the_draft():
    found = worked("hub-drive-reseal", "--group", "cover")
    assert [row["order"] for row in found["table"]][:2] == ["cross pattern (drafted)", "order of the procedure"]
    assert found["given"]["group"] == "cover bolts"


def test_bolts_in_one_line_are_a_doubt(tmp_path):
    found = worked(table(tmp_path, [(1, 0, 0), (2, 30, 0), (3, 80, 0), (4, 90, 0)]))
    assert found["doubts"] == ["All bolts stand in one line: no order can go across, only from the middle to the ends."]


@pytest.mark.parametrize(
    ("rows", "head", "says"),
    [
        ([(1, 0, 0), (2, 5, 5), (3, 5, 5)], "bolt,x,y", "Bolts 2 and 3 sit on one spot"),
        ([(1, 0, 0), (2, "", 5)], "bolt,x,y", "row 3, column B: bolt 2 has no place: give every bolt its x and y."),
        ([(1, 0, 0), (1, 4, 5)], "bolt,x,y", "row 3: bolt 1 has a place already: give every bolt one row."),
        ([(1, 0, 0), ("A", 4, 5)], "bolt,x,y", "row 3, column A: 'A' is no bolt number"),
        ([(1, 1, "2 mm"), (2, 4, 5)], "bolt,x,y", "row 2: some places have a unit and some have none"),
        ([(1, 1, "2 m")], "bolt,x,y", "row 2, column C: bolt 1 has '2 m', which is no place"),
        ([(1, "nan", 2)], "bolt,x,y", "row 2, column B: bolt 1 has 'nan', which is no place"),
        ([(1, 2, 3)], "bolt,left,up", "it needs a row of heads with bolt, x and y"),
        ([], "bolt,x,y", "has a head and no row below it"),
    ],
)
def test_a_table_that_cannot_be_used_is_refused_in_one_sentence(tmp_path, rows, head, says):
    result = run(table(tmp_path, rows, head))
    assert result.exit_code in (2, 4)
    assert says in result.output
    assert "Traceback" not in result.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("hub-drive-reseal",), "has several groups: choose one with --group, of"),
        (("hub-drive-reseal", "--group", "lid"), 'has no group "lid" with a layout'),
        (("no-such-procedure",), "no-such-procedure"),
        (("hub-drive-reseal", "--group", "cover", "--torque", "45"), "has no unit"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_one_sentence(words, says):
    result = run(*words)
    assert result.exit_code in (2, 4)
    assert says in result.output
    assert "Traceback" not in result.output
