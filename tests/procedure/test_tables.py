"""The three practice tables: every action is planned, printed, said, shown and recorded, in the order of the table.

Each of them is played twice: as its file was written by hand, and as ``assistant import`` reads the printed table. What
they are compared with are the rows of ``tables.py``, which were read off with a pencil.
"""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.display.picture import picture
from assistant.drawing.bolt_map import bolt_map_svg
from assistant.fastening.programme import done_passes, expand
from assistant.fastening.units import parse_angle, parse_torque
from assistant.journal.opening import open_journal
from assistant.language.chosen import LANGUAGE
from assistant.language.en.units import quantity
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from assistant.procedure.programme_text import place_text, stage_place
from assistant.procedure.steps.programmes import groups_of, programme_of, written_passes
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.build import build_record
from assistant.report.record.made import make
from tests.authoring.tables import workbook
from tests.jobs import entries_of, work
from tests.procedure.imported import PRINTED, TOOL_IDS, imported
from tests.procedure.tables import TABLES, Row, actions
from tests.session.bench import Bench

GOOD = Path(__file__).parent / "good"
TOOLS = """\
# Invented for this test.
wrenches:
  - {id: wrench, name: torque wrench, type: II A, unit: N·m, low: 4, high: 40, graduation: 0.5, lever: 300 mm,
     calibrated: 2026-12-01}
  - {id: large-wrench, name: large torque wrench, type: II A, unit: N·m, low: 30, high: 150, graduation: 1,
     lever: 500 mm, calibrated: 2026-12-01}
multipliers:
  - {id: multiplier, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 900 N·m}
gauges:
  - {id: gauge, name: angle gauge, graduation: 2°}
"""
each = pytest.mark.parametrize("name", TABLES)


@pytest.fixture(params=["written", "imported as text", "imported as a workbook"])
def path(request: pytest.FixtureRequest, name: str, tmp_path: Path) -> Path:
    """Return the procedure of a table: written by hand, or imported and finished."""
    table = PRINTED / f"{name}.csv"
    match request.param:
        case "written":
            return GOOD / f"{name}.yaml"
        case "imported as text":
            return imported(table, tmp_path)
        case _:
            text = table.read_text("utf-8").split("\n", 1)[1]
            parted = next(mark for mark in "\t;," if mark in text)
            book = tmp_path / f"{name}.xlsx"
            book.write_bytes(workbook(list(csv.reader(io.StringIO(text), delimiter=parted))))
            return imported(book, tmp_path)


def tightening(path: Path):
    """Return the procedure of a table, and its step that tightens."""
    procedure = read_procedure(path).procedure
    assert procedure is not None
    (step,) = (step for step in procedure.steps if isinstance(step, TightenStep))
    return procedure, step


@each
def test_every_action_is_planned_in_the_order_of_the_table(name: str, path: Path) -> None:
    procedure, step = tightening(path)
    programme, written = programme_of(step, procedure), written_passes(step)
    turns = done_passes(programme)
    planned = []
    for action in expand(programme):
        one, turn = written[action.planned - 1], turns[action.turn - 1]
        place = place_text(stage_place(step, one.stage, one.part, turn.time, again=turn.again))
        planned.append((place, action.way.value, str(action.target.value), action.bolt))
    assert planned == actions(TABLES[name])


@each
def test_every_action_is_printed_in_the_order_of_the_table(name: str, path: Path) -> None:
    checked = CliRunner().invoke(app, ["check", str(path)])
    assert checked.exit_code == 0, checked.output
    result = CliRunner().invoke(app, ["programme", str(path), "--json"])
    assert result.exit_code == 0, result.output
    (printed,) = json.loads(result.stdout)
    found = [(one["stage"], one["target"], int(one["bolt"])) for one in printed["actions"]]
    words = {"torque": "torque", "angle": "a further", "loosen": "loosen by", "check": "check at"}
    assert found == [(place, f"{words[way]} {value}", bolt) for place, way, value, bolt in actions(TABLES[name])]


@each
def test_the_bolt_map_of_a_stage_has_the_place_of_every_bolt_pass_by_pass(name: str, path: Path) -> None:
    procedure, step = tightening(path)
    stages: dict[str, list[dict[int, str]]] = {}
    for row in TABLES[name]:
        if "once more" in row.place or re.search(r"(2nd|3rd|th) of", row.place):
            continue  # what is done again has the same places
        bolts = [bolt for _, some in row.runs for bolt in some]
        places = {bolt: {1: "1st", 2: "2nd", 3: "3rd"}.get(at, f"{at}th") for at, bolt in enumerate(bolts, 1)}
        stages.setdefault(row.place.split(",")[0], []).append(places)
    assert len(stages) == len(step.stages)
    for number, passes in enumerate(stages.values(), 1):
        svg = bolt_map_svg(groups_of(step, procedure), step.stages, stage=number)
        shown = {int(bolt): said for bolt, said in re.findall(r"<title>Bolt (\d+), ([^<]*)</title>", svg)}
        for bolt, said in shown.items():
            named = [
                f"pass {part}: {places[bolt]}" if len(passes) > 1 else places[bolt]
                for part, places in enumerate(passes, 1)
                if bolt in places
            ]
            assert said.split(", ")[1:] == named


def _tools(procedure: Procedure) -> str:
    """Return the tool file for a procedure with a multiplier, under its ids."""
    listed = {item.id for item in procedure.support_equipment}
    if not listed & {"multiplier", "torque-multiplier"}:
        return ""
    text = TOOLS
    for mine, made in TOOL_IDS.items():
        text = text.replace(f"{{id: {mine},", f"{{id: {made},") if made in listed else text
    return text


def _value_words(way: str, value: str) -> str:
    """Return how a value is said, by the functions of the language alone."""
    return quantity(parse_torque(value) if way in ("torque", "check") else parse_angle(value))


def _heard(row: Row, bolts: tuple[int, ...], value: str, said: str, last: str, *, first: bool) -> None:
    """Hold what was said of ``bolts`` against the table: the place, the bolts, and a value that is another one."""
    words = _value_words(row.way, value)
    if first:
        assert row.spoken.lower() in said.lower()
        assert words in said.lower(), "a pass comes without its value"
    assert value == last or words in said.lower(), "another value is not said"
    called = LANGUAGE.bolts.together(bolts) if row.together else LANGUAGE.bolts.bolts(bolts)
    assert called.lower() in said.lower() or (
        first and "first of" not in row.spoken.lower() and " of " in row.spoken
    ), said


@each
def test_every_action_is_said_and_shown_in_the_order_of_the_table(name: str, path: Path) -> None:
    procedure, _ = tightening(path)
    bench = Bench(procedure, tools=_tools(procedure))
    said = bench.lead_to("tighten")
    done: list[tuple[str, str, str, int]] = []
    for row in TABLES[name]:
        last = ""
        for value, bolts in row.runs:
            todo = list(bolts)
            while todo:
                view = bench.session.view(bench.now)
                shown, page = view["tighten"], picture(view)["tighten"]
                now: tuple[int, ...] = tuple(shown["current"])
                assert page["stage"].replace("Stage 2 of 5, once", "Stage 2, once").removeprefix("Stage ") in (
                    row.place,
                    f"{row.place} of 5",
                )
                assert page["now"].startswith(f"Bolt{'s' if len(now) > 1 else ''} {', '.join(map(str, now))}")
                assert ("together" in page["now"]) == row.together
                assert row.together <= (now == bolts)
                _heard(row, now, value, said, last, first=not last)
                said, last = bench.hear("next"), value
                done += [(row.place, row.way, value, bolt) for bolt in now]
                del todo[: len(now)]
    assert done == actions(TABLES[name])
    assert bench.session.view(bench.now)["place"] == "tools-back"


@each
def test_every_action_stands_in_the_record_in_the_order_of_the_table(name: str, path: Path, tmp_path: Path) -> None:
    with open_journal(tmp_path / "journal") as journal:
        job = work(journal, path)
        entries = entries_of(journal, job)
    rows: list[Any] = list(build_record(job, entries).tightenings)
    found = [(row.place, row.way, bolt) for row in rows for bolt in row.bolts]
    assert found == [(place, way, bolt) for place, way, _, bolt in actions(TABLES[name])]
    assert {row.result for row in rows} == {"confirmed"}
    html = make(job, entries, paper="a4", clock=0).form("html").decode()
    at = 0
    for row in TABLES[name]:
        at = html.index(f"<td>{row.place}</td>", at) + 1
