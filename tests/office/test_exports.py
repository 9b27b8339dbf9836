"""The tables for other programs: another library reads the same out of Parquet as out of CSV, and nothing forgotten."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from decimal import Decimal

import pyarrow.parquet as pq
import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.facts import Quantity
from assistant.facts.correcting import FindingAsBefore, FindingCorrected
from assistant.facts.extra import FindingKept, Severity
from assistant.facts.kinds.tighten import BoltsTightened
from tests.display.wire import ask
from tests.jobs import SHORT, work
from tests.office.test_search import finding, written
from tests.office.test_tools import taken

HOSTILE = '=1+1, "van" <7>\nnorth'
KINDS = {
    "string": str, "int64": int, "decimal128(28, 9)": Decimal,
    "bool": lambda text: text == "yes", "timestamp[ms, tz=UTC]": datetime.fromisoformat,
}  # fmt: skip


@pytest.fixture
def jobs(workshop):
    """A job with tightenings in one bay, and one with a finding in the other."""
    meter = Quantity(Decimal("40000.5"), "km")
    return (
        work(workshop.bay("bay1"), SHORT, asset=HOSTILE, operator="Kim Example, Alex", meter=meter, tools=taken()),
        written(workshop.bay("bay2"), finding("a hairline crack"), at_ms=1_790_086_400_000, customer="Order 12"),
    )


def export(workshop, what, form):
    """Write a table as somebody at the office does; return the bytes of the file."""
    file = workshop.folder / f"{what}.{form}"
    told = CliRunner().invoke(
        app,
        ["export", "--central", workshop.address, "--token", str(workshop.token_file), "--what", what, "--form", form,
         "--force", str(file)],
    )  # fmt: skip
    assert told.exit_code == 0, told.output
    assert workshop.token not in told.output
    return file.read_bytes()


def from_csv(data):
    return list(csv.DictReader(io.StringIO(data.decode(), newline="")))


def from_parquet(data):
    return pq.read_table(io.BytesIO(data))


@pytest.mark.parametrize("what", ["jobs", "tightenings", "findings"])
def test_parquet_says_the_same_as_csv(workshop, jobs, what):
    lines, table = from_csv(export(workshop, what, "csv")), from_parquet(export(workshop, what, "parquet"))
    assert table.num_rows == len(lines) > 0
    assert list(lines[0]) == table.column_names
    for line, row in zip(lines, table.to_pylist(), strict=True):
        for name, kind in zip(table.column_names, table.schema.types, strict=True):
            text = line[name].removeprefix("'") if name == "machine" else line[name]
            value = KINDS[str(kind)](text) if text else None
            if isinstance(value, str):
                value = value.replace("‹U+000A›", "\n")
            assert value == row[name], (name, line)


def test_there_is_a_row_for_each_bolt_and_stage(workshop, jobs):
    rows = from_parquet(export(workshop, "tightenings", "parquet")).to_pylist()
    facts = [fact for _, entry in workshop.bay("bay1").find((BoltsTightened,)) if (fact := entry.fact)]
    assert len(rows) == sum(len(fact.bolts) for fact in facts) > 8
    assert {(row["group"], row["bolt"], row["stage"]) for row in rows} == {
        (fact.group, bolt, fact.stage) for fact in facts for bolt in fact.bolts
    }
    assert {row["operator"] for row in rows} == {"Kim Example"}
    assert {row["job"] for row in rows} == {jobs[0]}
    assert {(row["value"], row["unit"]) for row in rows} == {
        (fact.target.value, fact.target.unit) for fact in facts if fact.target
    }


def test_jobs_have_bay_machine_meter_and_state(workshop, jobs):
    first, second = from_csv(export(workshop, "jobs", "csv"))
    assert (first["job"], first["bay"], first["state"], first["meter"], first["meter_unit"]) == (
        jobs[0], "bay1", "closed", "40000.5", "km",
    )  # fmt: skip
    assert first["machine"].startswith("'=1+1"), "a spreadsheet takes it for text"
    assert (second["bay"], second["customer"]) == ("bay2", "Order 12")


def test_a_finding_that_was_corrected_is_one_row_in_the_words_that_count(workshop, jobs):
    def words(text, severity=Severity.NEXT_SERVICE):
        return {"work": "finding:1", "number": 1, "text": text, "step": "lid", "severity": severity}

    bay, first = workshop.bay("bay2"), FindingKept(**words("the seal sweeps"))
    written(bay, first, FindingCorrected(**words("the seal weeps", Severity.BEFORE_RUNNING)), at_ms=1_790_186_400_000)
    back = FindingAsBefore(**words("the hose is dry"))
    hose = FindingKept(**words("the hose is dry"))
    written(bay, hose, FindingCorrected(**words("the hose is split")), back, at_ms=1_790_286_400_000)
    _, one, other = from_csv(export(workshop, "findings", "csv"))
    assert [(row["text"], row["severity"], row["corrected"]) for row in (one, other)] == [
        ("the seal weeps", "before_running", "yes"),
        ("the hose is dry", "next_service", "no"),
    ]


def test_what_is_forgotten_is_in_no_table(workshop, jobs):
    workshop.bay("bay1").forget(jobs[0], 1_790_300_000_000)
    workshop.bay("bay2").forget(jobs[1], 1_790_300_000_000)
    for what in ("jobs", "tightenings", "findings"):
        for form in ("csv", "parquet"):
            data = export(workshop, what, form)
            assert not any(word in data for word in (b"Kim", b"north", b"Order 12", b"hairline")), (what, form)
    assert {row["forgotten"] for row in from_csv(export(workshop, "jobs", "csv"))} == {"yes"}


def test_a_table_is_downloaded_from_the_page(workshop, jobs, serve):
    office = serve(workshop)
    answer = ask(office.link, "/exports/findings.csv", seconds=60)
    assert answer.headers["content-disposition"] == 'attachment; filename="findings.csv"'
    assert from_csv(answer.body)[0]["text"] == "a hairline crack"
    assert from_parquet(ask(office.link, "/exports/jobs.parquet", seconds=60).body).num_rows == 2
    assert ask(office.link, "/exports/members.csv", seconds=60).status == 404
    assert b'href="/exports/tightenings.parquet"' in ask(office.link, "/exports", seconds=60).body


@pytest.mark.parametrize(
    ("given", "code", "sentence"),
    [
        (["--what", "people"], 2, 'There is no table "people"; give --what jobs, tightenings, findings.'),
        (["--form", "xls"], 2, '"xls" is no form of a table; give --form csv or parquet.'),
        (["--form", "parquet"], 2, "would hold PARQUET"),
    ],
)
def test_what_cannot_be_exported_is_one_sentence(workshop, given, code, sentence):
    told = CliRunner().invoke(
        app, ["export", "--central", workshop.address, *given, str(workshop.folder / "table.csv")]
    )
    assert told.exit_code == code
    assert sentence in told.output
