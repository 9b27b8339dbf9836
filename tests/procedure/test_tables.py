"""The three practice tables: every action is planned, said, shown and recorded, in the order of the table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.display.picture import picture
from assistant.fastening.programme import done_passes, expand
from assistant.fastening.units import parse_angle, parse_torque
from assistant.journal.opening import open_journal
from assistant.language.chosen import LANGUAGE
from assistant.language.en.units import quantity
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.programme_text import place_text, stage_place
from assistant.procedure.steps.programmes import programme_of, written_passes
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.build import build_record
from assistant.report.record.made import make
from tests.jobs import entries_of, work
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


def tightening(name: str):
    """Return the procedure of a table, and its step that tightens."""
    procedure = read_procedure(GOOD / f"{name}.yaml").procedure
    assert procedure is not None
    (step,) = (step for step in procedure.steps if isinstance(step, TightenStep))
    return procedure, step


@each
def test_every_action_is_planned_in_the_order_of_the_table(name: str) -> None:
    procedure, step = tightening(name)
    programme, written = programme_of(step, procedure), written_passes(step)
    turns = done_passes(programme)
    planned = []
    for action in expand(programme):
        one, turn = written[action.planned - 1], turns[action.turn - 1]
        place = place_text(stage_place(step, one.stage, one.part, turn.time, again=turn.again))
        planned.append((place, action.way.value, str(action.target.value), action.bolt))
    assert planned == actions(TABLES[name])


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
def test_every_action_is_said_and_shown_in_the_order_of_the_table(name: str) -> None:
    procedure, _ = tightening(name)
    bench = Bench(procedure, tools=TOOLS if "multiplier" in {item.id for item in procedure.support_equipment} else "")
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
def test_every_action_stands_in_the_record_in_the_order_of_the_table(name: str, tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        job = work(journal, GOOD / f"{name}.yaml")
        entries = entries_of(journal, job)
    rows: list[Any] = list(build_record(job, entries).tightenings)
    found = [(row.place, row.way, bolt) for row in rows for bolt in row.bolts]
    assert found == [(place, way, bolt) for place, way, _, bolt in actions(TABLES[name])]
    assert {row.result for row in rows} == {"confirmed"}
    html = make(job, entries, paper="a4", clock=0).form("html").decode()
    at = 0
    for row in TABLES[name]:
        at = html.index(f"<td>{row.place}</td>", at) + 1
