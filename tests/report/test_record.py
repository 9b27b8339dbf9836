"""The record says what the journal says, in every form, and never more."""

import csv
import io
import json
import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import jsonschema
import pypdf
import pytest

from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Asked
from assistant.facts.bay import Corrected, EndedBy, Interrupted
from assistant.facts.codes import Side
from assistant.facts.going import CarriedOn, Closed, HazardAcknowledged, Paused, Prepared
from assistant.facts.inputs import Resumed
from assistant.facts.kinds.tighten import BoltsTightened
from assistant.facts.steps import StepDone
from assistant.facts.store import fact_classes, questions
from assistant.report.record.build import build_record
from assistant.report.record.forms import COLUMNS, read_mark, took
from assistant.report.record.made import make
from assistant.report.record.printing import Names, asked_words, printers, tag_of
from tests.jobs import DEMOS, SHORT, START_S, bare, entries_of, heard, kept, note, work
from tests.journal.golden import NAMES, record_of
from tests.report.gold import GOLD, gold_html
from tests.samples import sample

SCHEMA = json.loads((Path(__file__).parents[2] / "assistant" / "report" / "record.schema.json").read_text("utf-8"))
REGOLD = "look at the difference; if it is right, say: python -m tests.report.gold"


@pytest.mark.parametrize("procedure", DEMOS, ids=lambda path: path.stem)
def test_the_record_of_a_demo_job_is_the_gold_one(procedure, tmp_path):
    gold = (GOLD / f"{procedure.stem}.html").read_text("utf-8")
    assert gold_html(procedure, tmp_path).splitlines() == gold.splitlines(), REGOLD


@pytest.mark.parametrize("kind", sorted(fact_classes()))
def test_every_kind_of_fact_has_words_and_stands_in_the_record(kind):
    """A new kind of fact fails here until the record can say it."""
    cls = fact_classes()[kind]
    assert cls in printers(), f"print {cls.__name__} in assistant/report/record/words*.py"
    name, entries = kept([bare("t"), sample(cls)], 1)
    made = make(name, entries, paper="a4", clock=0)
    assert made.record.entries[1].kind == kind
    assert f"{entries[1].hash[:8]}" in made.form("html").decode()
    assert [row["kind"] for row in csv.DictReader(io.StringIO(made.form("csv").decode()))][1] == kind


@pytest.mark.parametrize("cls", questions().values(), ids=lambda cls: cls.__name__)
def test_every_question_is_told_with_what_it_is_about(cls):
    """Who reads the record must see what was confirmed or cancelled, without the sentence that was spoken."""
    question = sample(cls)
    words = asked_words(question, Names(None))
    assert words != tag_of(question), f"print {cls.__name__} in assistant/report/record/words_of_questions.py"
    assert getattr(question, "step", "") in words
    name, entries = kept([bare("t"), Asked(question=question, at_ms=1)], 1)
    assert build_record(name, entries).entries[1].words == f"asked: {words}"


def test_a_real_job_is_told_without_falling_back_on_raw_fields(journal):
    for procedure in DEMOS:
        record = build_record("j", entries_of(journal, work(journal, procedure)))
        for entry in record.entries:
            assert not entry.words.startswith(f"{entry.kind}: step"), entry
        assert not record.open, record.open


def test_an_entry_of_an_unknown_kind_is_shown_with_all_its_fields():
    name, (first, entry) = kept([bare("t"), note("value-x")], 1)
    made = make(name, [first, replace(entry, kind="from_the_future")], paper="a4", clock=0)
    assert "from_the_future: this version knows no entry of the kind" in made.form("html").decode()
    assert "value-x" in made.form("json").decode()
    assert made.record.open[0].what.startswith("entry 2 (from_the_future) cannot be read")


@pytest.mark.parametrize("words", [0, 1, 7, 14, 20, 26, 29, 31])
def test_the_record_never_looks_better_than_the_job(journal, words):
    """Told from the raw entries: a step, bolt or page is done in the record only if an entry says so."""
    job = work(journal, SHORT, most=words)
    entries = entries_of(journal, job)
    record = build_record(job, entries)
    done = {entry.fact.step for entry in entries if isinstance(entry.fact, StepDone)}
    assert {row.id for row in record.steps if row.status in ("done", "deviation")} == done
    assert len([row for row in record.preparation if row.status == "done"]) == len(
        [
            entry
            for entry in entries
            if isinstance(entry.fact, Prepared)
            or (isinstance(entry.fact, HazardAcknowledged) and entry.fact.place.startswith("safety"))
        ]
    )
    tight = sum(len(entry.fact.bolts) for entry in entries if isinstance(entry.fact, BoltsTightened))
    rows = record.tightenings
    assert sum(len(row.bolts) for row in rows if row.entry is not None) == tight
    assert (
        sum(len(row.bolts) for row in rows) == 16
    )  # 6 bolts to 5 N·m, 6 to their torque, 4 by angle, as the file has it
    assert all(row.result == "NOT DONE" for row in rows if row.entry is None)
    named = " ".join(one.what for one in record.open)
    for row in record.steps:
        assert (row.status == "not done") == (f"step {row.number}, {row.text.rstrip('.')}: NOT DONE" in named)
    html = make(job, entries, paper="a4", clock=0).form("html").decode()
    assert html.count("☐ NOT DONE") == len([*record.steps, *record.preparation]) - len(done) - len(
        [row for row in record.preparation if row.status == "done"]
    )
    assert "PROVISIONAL: this job is open" in html


def test_what_was_left_out_and_accepted_is_told_with_its_reason_and_who(journal):
    seen = set()

    def say(session, now):
        view = session.view(now)
        step = (view["step"] or {}).get("id")
        if step == "drain" and view["phase"] == "doing" and "skip" not in seen:
            seen.add("skip")
            return "skip this step"
        if step == "shaft-play" and "off" not in seen:
            seen.add("off")
            return "reading one point five"
        if view["phase"] == "confirming":
            return "confirmed"
        return None

    job = work(journal, SHORT, say=say, operator="A. Person", most=400)
    record = build_record(job, entries_of(journal, job))
    told = {one.step: one for one in record.deviations}
    assert (told["drain"].accepted_by, told["drain"].reason) == ("A. Person", "the foreman agreed to it")
    assert "1.5 mm" in told["shaft-play"].what
    states = {row.id: row.status for row in record.steps}
    assert (states["drain"], states["shaft-play"], states["clean"]) == ("left out", "deviation", "done")
    assert any("drain tap" in one.what and "LEFT OUT" in one.what for one in record.open)


def test_time_worked_leaves_pauses_and_interruptions_out():
    ms = round(START_S * 1000)
    later = (
        (10, StepDone(step="a")), (20, Paused()), (80, CarriedOn()), (95, StepDone(step="b")),
        (100, Interrupted(by=EndedBy.CONTROL_C)), (400, Resumed()), (430, StepDone(step="c")),
        (440, heard("where")), (900, Resumed()), (905, Closed()),
    )  # fmt: skip
    batches = [([fact], ms + at * 1000) for at, fact in later]
    record = build_record(*kept([bare("t")], ms, *batches))
    # By hand: 905 s in all, less 60 s of pause, 300 s and 460 s away.
    assert record.card.worked_seconds == 905 - 60 - 300 - 460
    assert {row.id: row.seconds for row in record.steps} == {"a": 10, "b": 25, "c": 35}
    assert [(gap.what, (gap.to_ms - gap.from_ms) // 1000) for gap in record.gaps] == [
        ("pause", 60), ("interrupted: control-c", 300), ("interrupted: the program ended unasked", 460),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(None, "–"), (0, "0 s"), (45, "45 s"), (309, "5 min 09 s"), (1440, "24 min"), (3599, "59 min 59 s"),
     (3600, "1 h 00 min"), (86_400, "24 h 00 min")],
)  # fmt: skip
def test_a_length_of_time_has_its_units(seconds, words):
    """Not "24:00", which is read as hours, or as midnight. (1 h = 60 min = 3600 s: the SI brochure, table 8.)"""
    assert took(seconds) == words


def _told(data):
    """Return the fields of an entry as a record has them: files are named by their hash alone."""
    told = {key: value for key, value in data.items() if key != "procedure_yaml"}
    if told.get("tools"):
        told["tools"] = {key: value for key, value in told["tools"].items() if key != "yaml"}
    return told


def test_the_json_record_keeps_to_its_schema_and_nothing_is_lost(journal):
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    for procedure in DEMOS:
        job = work(journal, procedure, asset="Rig")
        made = make(job, entries_of(journal, job), paper="a4", clock=60)
        text = made.form("json").decode()
        read = json.loads(text)
        jsonschema.validate(read, SCHEMA, cls=jsonschema.Draft202012Validator)
        assert json.dumps(read, ensure_ascii=False, indent=1, sort_keys=True) + "\n" == text
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(read | {"more": 1}, SCHEMA, cls=jsonschema.Draft202012Validator)
        entries = journal.read(job).entries
        for mine, entry in zip(read["entries"], entries, strict=True):
            assert mine["data"] == _told(entry.data)


def test_the_record_of_every_golden_journal_keeps_to_the_schema(tmp_path):
    """The demos have neither notes nor findings, and a field that the schema does not name is no part of the form."""
    for name in NAMES:
        jsonschema.validate(json.loads(record_of(name, tmp_path / name)), SCHEMA, cls=jsonschema.Draft202012Validator)


def test_the_csv_record_reads_back_to_what_was_written(journal):
    job = work(journal, SHORT, asset="=cmd|' /C calc'!A0")
    entries = entries_of(journal, job)
    text = make(job, entries, paper="a4", clock=-210).form("csv").decode()
    *rows, last = csv.DictReader(io.StringIO(text, newline=""), strict=True)
    assert tuple(rows[0]) == COLUMNS
    for row, entry in zip(rows, entries, strict=True):
        assert (int(row["entry"]), row["kind"], row["hash"]) == (entry.seq, entry.kind, entry.hash)
        data = json.loads(row["data"].removeprefix("'"))
        assert data == _told(entry.data)
        assert re.fullmatch(r"2026-09-21T1\d:\d\d:\d\d\.\d{3}-03:30", row["time"])
    assert read_mark(last["words"].encode()).head == entries[-1].hash
    assert not [cell for row in rows for cell in row.values() if cell.startswith(("=", "+", "-", "@"))]


@pytest.mark.slow
@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_the_pdf_has_its_size_and_says_on_every_page_that_the_job_is_open(journal, paper, size):
    """Sizes in points of 1/72 inch: ISO 216 A4 210 x 297 mm, ANSI Letter 8.5 x 11 inches."""
    job = work(journal, SHORT, most=25)
    data = make(job, entries_of(journal, job), paper=paper, clock=0).form("pdf")
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    assert len(pages) >= 4
    for number, page in enumerate(pages, 1):
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size
        text = page.extract_text()
        assert "PROVISIONAL: this job is open" in text
        assert f"Page {number} of {len(pages)}" in text
        assert f"Job {job}, entries 1 to" in text
    whole = "\n".join(page.extract_text() for page in pages)
    for heading in (
        "Open items",
        "Preparation",
        "Steps",
        "Tightening",
        "Fasteners",
        "Timers",
        "Every entry of the journal",
    ):
        assert heading in whole
    assert read_mark(data).head == journal.read(job).entries[-1].hash


@pytest.mark.slow
def test_the_pdf_of_a_closed_job_is_not_provisional(journal):
    job = work(journal, SHORT)
    data = make(job, entries_of(journal, job), paper="a4", clock=0).form("pdf")
    whole = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)
    assert "PROVISIONAL" not in whole
    assert "16 of 16" in whole


def test_a_record_from_a_damaged_journal_says_so(journal):
    job = work(journal, SHORT)
    entries = entries_of(journal, job)[:30]
    html = make(job, entries, paper="a4", clock=0, damage="Entry 31 does not fit.").form("html").decode()
    assert "INCOMPLETE: the journal is damaged" in html
    assert "Entry 31 does not fit." in html


def test_a_procedure_that_cannot_be_read_any_more_leaves_what_was_done(journal):
    job = work(journal, SHORT)
    first, *rest = entries_of(journal, job)
    entries = [replace(first, data={**first.data, "procedure_yaml": "nonsense"}), *rest]
    record = build_record(job, entries)
    assert {row.id for row in record.steps} == {entry.fact.step for entry in rest if isinstance(entry.fact, StepDone)}
    assert "what was not done is not known" in record.open[0].what


def test_a_correction_stands_beside_the_step_that_it_corrects(journal):
    """Also when it names what was heard, and not what followed from it."""
    name = work(journal, SHORT)
    entries = entries_of(journal, name)
    read = next(entry for entry in entries if entry.kind == "reading")
    heard = next(entry for entry in reversed(entries[: read.seq - 1]) if entry.kind == "heard")
    for number in (read.seq, heard.seq):
        job = journal.hold(name, entries[-1].at_ms)
        said = Corrected(entry=number, text=f"{number} was 0.11", operator="F. Oreman")
        job.append([said], entries[-1].at_ms)
        job.close()
    record = build_record(name, journal.read(name).entries)
    row = next(row for row in record.steps if row.id == read.data["step"])
    assert [one.split(": ")[1] for one in row.results if "CORRECTED" in one] == [
        f"{read.seq} was 0.11",
        f"{heard.seq} was 0.11",
    ]
    assert [one for other in record.steps if other is not row for one in other.results if "CORRECTED" in one] == []
    assert all("(by F. Oreman) – instead of: " in line.what for line in record.corrections)


def test_what_was_done_on_another_day_has_its_day(journal):
    """A job that goes on the next morning: a time of day alone would be read as the first day's."""
    name = work(journal, SHORT, most=20)
    entries = entries_of(journal, name)
    next_day = entries[-1].at_ms + 86_400_000
    job = journal.hold(name, entries[-1].at_ms)
    job.append([note("the morning after")], next_day)
    job.close()
    html = make(name, journal.read(name).entries, paper="a4", clock=0).form("html").decode()
    first, second = (f"{datetime.fromtimestamp(at / 1000, UTC):%Y-%m-%d}" for at in (entries[0].at_ms, next_day))
    row = next(line for line in html.splitlines() if "the morning after" in line and "<td>" in line)
    assert f"<td>{second} " in row
    listed = html[html.index("Every entry of the journal") :].splitlines()
    days = [line.strip() for line in listed if re.fullmatch(r"(<pre>)? *\d{4}-\d\d-\d\d", line)]
    assert [day.removeprefix("<pre>").strip() for day in days] == [first, second]


def test_tightening_stands_in_the_order_of_the_procedure(journal):
    path = next(path for path in DEMOS if path.stem == "hub-drive-reseal")
    name = work(journal, path, most=1)
    html = make(name, journal.read(name).entries, paper="a4", clock=0).form("html").decode()
    part = html[html.index("<h2>Tightening") : html.index("<h2>Fasteners")]
    numbers = [int(number) for number in re.findall(r"<h3>(\d+) ", part)]
    assert len(numbers) > 2
    assert numbers == sorted(numbers)


def _bolt(reading: str, unit: str, target: str, **more: object) -> BoltsTightened:
    """Return the fact of one bolt that was read off."""
    target_unit = "°" if unit == "°" else "N·m"
    return BoltsTightened(
        step="s", stage=1, turn=1, run=1, group="rim", bolts=(1,), way="angle" if unit == "°" else "torque",
        target=Quantity(Decimal(target), target_unit), limits=Bounds(), reading=Quantity(Decimal(reading), unit),
        single=True, **more,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("fact", "result", "limits"),
    [
        (_bolt("5", "N·m", "5"), "confirmed", ""),
        (_bolt("5", "N·m", "5", verdict=Side.WITHIN, tolerance=Decimal("10.0")), "within limits", "general ±10.0 %"),
        (
            _bolt("24", "N·m", "5", verdict=Side.ABOVE, tolerance=Decimal("10.0")),
            "ABOVE LIMITS, accepted",
            "general ±10.0 %",
        ),
    ],
)  # fmt: skip
def test_nothing_is_called_confirmed_beside_a_reading_that_contradicts_its_target(fact, result, limits):
    (row,) = build_record(*kept([bare("t"), fact], 1)).tightenings
    assert (row.result, row.limits) == (result, limits)
    assert "LIMITS" in row.result or row.result in ("confirmed", "within limits")  # the page marks what has LIMITS


def test_the_last_page_on_paper_is_worth_its_sheet(journal):
    """This job had one line of the journal on its last page."""
    job = work(journal, SHORT)
    pages = pypdf.PdfReader(io.BytesIO(make(job, entries_of(journal, job), paper="a4").form("pdf"))).pages
    assert len(re.findall(r"^\s*\d+ +\d\d:\d\d", pages[-1].extract_text(), re.MULTILINE)) >= 15
