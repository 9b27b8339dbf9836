"""Tables of readings on paper: what was read off, what was not, and the empty table to fill in."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.procedure.format.reader import read_procedure
from assistant.report.record.made import make
from assistant.report.sheet.build import sheet_html
from tests.journal.golden import load

HEADS = Path(__file__).parents[2] / "tests/typed/procedures/practice-heads.yaml"


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> list[Entry]:
    """What is said in this job stands in tests/journal/golden/making.py."""
    with open_journal(load("table", tmp_path_factory.mktemp("table")), read_only=True) as journal:
        return list(journal.read(journal.resolve("last")).entries)


def test_the_record_has_every_place_of_every_table_with_what_became_of_it(entries: list[Entry]) -> None:
    made = make("table", entries, paper="a4", clock=0)
    record = json.loads(made.form("json"))
    told = {(one["step"], one["row"], one["column"], one["when"]): one for one in record["readings"]}
    assert len(told) == 12 + 4
    good = told["clearances", "1", "intake", ""]
    assert (good["reading"], good["result"], good["limits"]) == ("0.2 mm", "within", "0.15 to 0.25 mm")
    assert told["clearances", "3", "exhaust", ""]["result"] == "ABOVE the limits"
    assert told["clearances", "3", "intake", ""]["result"] == "BELOW the limits"
    assert told["clearances", "6", "intake", ""]["earlier"] == ["1.5 mm", "0.3 mm"]
    assert told["clearances", "4", "intake", ""]["result"] == "LEFT OUT"
    assert told["pad--front-left", "front left", "inner", "found"]["result"] == "BELOW the limits"
    assert told["pad--front-right", "front right", "inner", "left"]["result"] == "NOT READ"
    reasons = {(one["what"], one["reason"]) for one in record["deviations"]}
    assert ("reading 4, intake left out", "the plug is in the way") in reasons
    assert ("2 readings of the table out of limits", "no shim of that size is here") in reasons
    steps = {one["id"]: one["status"] for one in record["steps"]}
    assert (steps["clearances"], steps["pad--front-left"]) == ("deviation", "done")
    assert any("OUT OF LIMITS: 3 intake, 3 exhaust" in one["what"] for one in record["open"])


def test_the_printed_table_marks_what_is_out_of_limits_by_a_sign_and_words(entries: list[Entry]) -> None:
    html = make("table", entries, paper="a4", clock=0).form("html").decode()
    tables = html[html.index("<h2>Readings</h2>") : html.index("<h2>Fasteners</h2>")]
    assert "▲ 0.36 mm ABOVE the limits" in tables
    assert "▼ 0.11 mm BELOW the limits" in tables
    assert "before: 1.5 mm, 0.3 mm" in tables
    assert tables.count("<table") == 3
    (first, *_) = re.findall(r"<table.*?</table>", tables, re.DOTALL)
    assert first.count("<tr>") == 7


def test_the_work_sheet_has_the_empty_table() -> None:
    html = sheet_html(read_procedure(HEADS).usable)
    first, *_ = tables = re.findall(r'<table class="readings">.*?</table>', html, re.DOTALL)
    assert len(tables) == 3
    assert first.count("<td></td>") == 12
    assert "0.15 to 0.25 mm" in first
    assert "inner, as found" in tables[1]
