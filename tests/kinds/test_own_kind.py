"""A kind of step of our own, in four modules of the tests, is worked through without a word of it in the assistant."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.display.picture import picture
from assistant.facts import dump, load
from assistant.facts.asking import Asked
from assistant.facts.store import known
from assistant.journal.memory import MemoryJournal
from assistant.procedure.difference import differences
from assistant.procedure.format.reader import read_text
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Procedure
from assistant.report.record.build import build_record
from assistant.report.sheet.build import sheet_html
from assistant.session import table
from assistant.session.session import Session
from tests.jobs import taken_up, work
from tests.kinds import flush_record, flush_session, flush_step, flush_words
from tests.kinds.flush_session import AskMuch, Flushed
from tests.kinds.flush_step import FlushStep
from tests.procedure.writing import to_yaml
from tests.session.bench import Bench

__all__ = ["flush_words"]


@pytest.fixture(scope="module", autouse=True)
def _known() -> Iterator[None]:
    """Know the kind in this module only."""
    with ExitStack() as stack:
        stack.enter_context(KINDS.known(FlushStep))
        stack.enter_context(table.kept())
        stack.enter_context(known(Flushed, AskMuch))
        for module in (flush_step, flush_session, flush_record):
            module.attach()
        yield


FILE = """\
# Invented for this test; not for use on any machine.
procedure:
  id: flush-job
  title: Flush job
  revision: 1
  source: Invented for the practice circuit of a training workshop
  machine: Practice circuit
  hazard_scheme: ansi
preliminary:
  conditions: [The circuit is cold.]
  persons:
    - {kind: mechanic, count: 1}
  support_equipment: []
  supplies: []
  spares: []
  safety: []
chapters:
  - chapter: Work
    steps:
      - {id: drain, do: Drain the circuit.}
      - {id: flush, flush: Flush the cooling circuit with clean water., litres: 8}
      - {id: fill, do: Fill the circuit.}
closing:
  - {id: clean, do: Clean the floor and count the tools.}
"""


def _procedure() -> Procedure:
    """The procedure of the file."""
    reading = read_text(FILE.encode(), "flush.yaml")
    assert reading.procedure is not None, reading.findings
    return reading.procedure


def _bench() -> Bench:
    """Its job, at the step that flushes."""
    bench = Bench(_procedure())
    bench.lead_to("flush")
    return bench


def test_it_is_read_from_a_file_and_written_back() -> None:
    procedure = _procedure()
    (flush,) = [step for step in procedure.steps if isinstance(step, FlushStep)]
    assert (flush.text, flush.litres) == ("Flush the cooling circuit with clean water.", Decimal(8))
    again = read_text(to_yaml(procedure).encode(), "flush.yaml").procedure
    assert again is not None
    assert differences(procedure, again) == ()
    (finding, *_) = read_text(FILE.replace(", litres: 8", "").encode(), "flush.yaml").findings
    assert finding.text.startswith("This flush step has no litres: write litres: with a value.")


def test_it_is_worked_through_by_voice() -> None:
    bench = _bench()
    assert bench.phase == "flushing"
    assert "At least eight litres." in bench.spoken[-1]
    assert bench.hear("what value") == "At least eight litres."
    assert "reading and the value" in bench.hear("what can i say")
    assert bench.hear("next") == "Say reading and the value."
    assert bench.hear("reading nine point five").startswith("Nine point five litres.")
    assert bench.facts("flushed") == [
        {"step": "flush", "repeated": False, "litres": "9.5", "least": "8"},
    ]
    bench.lead_to_end()
    assert bench.facts("closed")[0]["open_values"] == []


def test_too_little_is_read_back_and_needs_a_reason_and_stays_open() -> None:
    bench = _bench()
    assert "That is below the limit of eight litres." in bench.hear("reading four")
    assert bench.hear("confirmed") == "Say why, then say end note."
    bench.hears("the tank is empty", "end note", "confirmed")
    assert bench.facts("flushed")[-1]["litres"] == "4"
    assert bench.facts("deviation")[-1]["reading"] == {"value": "4", "unit": "l"}
    bench.lead_to("fill")
    assert "The value of step two is out of limits." in bench.hear("what is left")
    bench.lead_to_end()
    assert bench.facts("closed")[0]["open_values"] == ["flush"]


def test_it_asks_a_question_of_its_own_which_is_stored_and_taken_up() -> None:
    bench = _bench()
    assert "above the limit of eighty litres" in bench.hear("reading ninety")
    assert bench.facts("asked")[-1]["question"] == {"what": "much", "step": "flush", "litres": "90"}
    kind, version, data = dump(next(fact for fact, _ in reversed(bench.entries) if isinstance(fact, Asked)))
    assert load(kind, version, data).question == AskMuch("flush", Decimal(90))
    bench.hear("confirmed")
    assert bench.facts("flushed")[-1]["litres"] == "90"


def test_the_page_shows_what_it_asks_for() -> None:
    bench = _bench()
    page = picture(bench.session.view(bench.now))
    assert (page["place"], page["step"]) == ("Step 2 of 3", "Flush the cooling circuit with clean water.")
    assert page["value"]["unit"] == "l"
    assert "8" in page["value"]["number"]
    assert page["say"] == "reading and the value"
    assert "next" not in page["keys"]
    bench.hears("reading nine", "go back")
    assert "next" in picture(bench.session.view(bench.now))["keys"]


def test_it_is_taken_up_again_by_the_fold_of_what_is_stored() -> None:
    bench = _bench()
    bench.hear("reading nine")
    kind, version, data = dump(next(fact for fact, _ in bench.entries if isinstance(fact, Flushed)))
    assert load(kind, version, data) == Flushed(step="flush", litres=Decimal(9), least=Decimal(8))
    bench.hear("go back")
    bench.resume()
    assert bench.phase == "flushing"
    assert bench.session.state.more == {"flush": "9"}
    bench.hear("reading ten")
    assert bench.facts("flushed")[-1]["repeated"] is True


def test_it_stands_on_the_work_sheet() -> None:
    page = sheet_html(_procedure())
    assert "Flush the cooling circuit with clean water." in page
    assert "Litres __________   (at least 8)" in page


def test_a_job_with_it_is_kept_recorded_and_taken_up_from_the_journal(tmp_path: Path) -> None:
    path = tmp_path / "flush.yaml"
    path.write_text(FILE, encoding="utf-8")
    journal = MemoryJournal()
    at_flush = {"flush": "reading nine"}
    name = work(journal, path, say=lambda session, now: at_flush.pop(step_now(session, now), None), most=12)
    entries = journal.read(name).entries
    assert any(isinstance(entry.fact, Flushed) for entry in entries)
    session = taken_up(entries)
    assert session.state.more == {"flush": "9"}
    record = build_record(name, entries)
    (line,) = [step for step in record.steps if step.id == "flush"]
    assert (line.status, line.results) == ("done", ("flushed with 9 l of 8 l",))
    assert [entry.words for entry in record.entries if entry.kind == "flushed"] == ["flushed with 9 l of 8 l"]


def step_now(session: Session, now: float) -> str:
    """Return the id of the step that the session is at, or ""."""
    view = session.view(now)
    return view["step"]["id"] if view["step"] and view["phase"] == "flushing" else ""
