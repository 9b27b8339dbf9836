"""Whoever changes a finished journal, or a record that was made of it, is found out."""

import json
import random
import re
import shutil
from dataclasses import replace

import pytest

from assistant.cli.printing.options import Paper, RecordOptions
from assistant.cli.printing.record import write
from assistant.cli.printing.record.check import verify_record
from assistant.journal.opening import journal_path, open_journal
from assistant.journal.port import JournalFault
from assistant.report.record.forms import as_pdf
from assistant.report.record.made import RECORD_FORMS, make
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, work
from tests.journal.disk import rows, tamper
from tests.journal.golden import load

pytestmark = pytest.mark.slow

HEX = "0123456789abcdef"


@pytest.fixture
def finished(journal, home):
    """A closed job with a note in it, and another one beside it."""
    seen = []

    def say(session, now):
        if session.view(now)["phase"] == "doing" and not seen:
            seen.append(1)
            return "take a note"
        return None

    job = work(journal, SHORT, say=say, asset="Van 7", operator="A. Person")
    work(journal, SHORT, most=3)
    journal.close()
    return home, job


def row_changes(path, job, rng):
    """Return SQL statements that each change, remove or add one row of the job."""
    entries = rows(path, "SELECT seq, at_ms, kind, data, prev, hash FROM entry WHERE job = ?", job)
    said = rows(path, "SELECT seq, key, salt, value FROM personal WHERE job = ?", job)
    where = f"WHERE job = '{job}' AND seq ="
    made = []
    for seq, at_ms, kind, data, prev, own in rng.sample(entries[1:-1], 6):
        made += [
            f"UPDATE entry SET at_ms = {at_ms + 1} {where} {seq}",
            f"UPDATE entry SET kind = '{kind}x' {where} {seq}",
            f"UPDATE entry SET data = '{{}}' {where} {seq}" if data != "{}" else f"DELETE FROM entry {where} {seq}",
            f"UPDATE entry SET prev = '{own}' {where} {seq}",
            f"UPDATE entry SET hash = '{prev}' {where} {seq}",
            f"DELETE FROM entry {where} {seq}",
            f"UPDATE entry SET seq = 9999 {where} {seq}",
        ]
    for seq, key, salt, _ in said:
        here = f"WHERE job = '{job}' AND seq = {seq} AND key = '{key}'"
        made += [
            f"UPDATE personal SET value = '\"x\"' {here}",
            f"UPDATE personal SET salt = '{HEX[(HEX.index(salt[0]) + 1) % 16]}{salt[1:]}' {here}",
            f"DELETE FROM personal {here}",
        ]
    made += [
        f"INSERT INTO personal VALUES ('{job}', 2, 'more', '{'0' * 32}', '\"x\"')",
        f"UPDATE job SET number = 7 WHERE name = '{job}'",
        f"DELETE FROM job WHERE name = '{job}'",
        f"UPDATE job SET name = 'other-1' WHERE name = '{job}'",
    ]
    return made


def test_one_hundred_changes_to_a_finished_journal_are_all_found(finished, tmp_path):
    home, job = finished
    path = journal_path(home)
    rng = random.Random(20261125)
    statements = row_changes(path, job, rng)
    assert len(statements) >= 50
    found = 0
    for number, statement in enumerate(statements[-50:]):
        copy = tmp_path / f"row{number}"
        copy.mkdir()
        shutil.copy(path, copy)
        assert tamper(journal_path(copy), statement) == 1, statement
        assert not fits(copy, job), statement
        found += 1
    content = path.read_bytes()
    places = list(bytes_of(path, job, content))
    for number, at in enumerate(rng.sample(places, 50)):
        changed = bytearray(content)
        changed[at] ^= 1 << rng.randrange(7)
        copy = tmp_path / f"byte{number}"
        copy.mkdir()
        journal_path(copy).write_bytes(changed)
        assert not fits(copy, job), (at, content[at - 20 : at + 20])
        found += 1
    assert found == 100


def bytes_of(path, job, content):
    """Yield where in the file a byte of the job's rows lies: every byte that says something about the job."""
    texts = [
        value for row in rows(path, "SELECT kind, data, prev, hash FROM entry WHERE job = ?", job) for value in row
    ]
    texts += [value for row in rows(path, "SELECT salt, value FROM personal WHERE job = ?", job) for value in row]
    for text in set(texts):
        at = content.find(text.encode())
        if at >= 0 and len(text) >= 8 and content.count(text.encode()) == 1:
            yield from range(at, at + len(text.encode()))


def fits(home, job):
    """Return whether the job is found good; a file that cannot be read at all is not."""
    try:
        with open_journal(home, read_only=True) as journal:
            return journal.verify(job).good
    except JournalFault:
        return False


def test_any_single_byte_of_the_file_is_found_or_changes_nothing(finished, tmp_path):
    """Bytes in free space, or in the other job, say nothing about this one: then every entry reads as before."""
    home, job = finished
    content = journal_path(home).read_bytes()
    before = entries(home, job)
    rng = random.Random(7)
    copy = tmp_path / "copy"
    copy.mkdir()
    for _ in range(150):
        changed = bytearray(content)
        changed[rng.randrange(len(content))] ^= 1 << rng.randrange(8)
        journal_path(copy).write_bytes(changed)
        if fits(copy, job):
            assert entries(copy, job) == before


@pytest.mark.parametrize("form", RECORD_FORMS)
def test_a_record_fits_until_a_byte_of_it_is_changed(finished, tmp_path, form, capsys):
    _, job = finished
    file = tmp_path / f"r.{form}"
    assert write.write_record(job, RecordOptions(**{form: file}, paper=Paper.LETTER)) is Exit.OK
    assert verify_record(str(file)) is Exit.OK
    assert "to the letter" in capsys.readouterr().out
    content = file.read_bytes()
    rng = random.Random(form)
    for _ in range(25 if form != "pdf" else 2):
        changed = bytearray(content)
        changed[rng.randrange(len(content))] ^= 1 << rng.randrange(7)
        file.write_bytes(changed)
        assert verify_record(str(file)) in (Exit.DIFFERENT, Exit.JOURNAL)  # the second where its mark was hit
        assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.fixture(scope="module")
def many_kinds(tmp_path_factory):
    """A data folder with a closed job of many kinds of entries, and those entries."""
    folder = tmp_path_factory.mktemp("kinds")
    said = iter(["take a note"])
    with open_journal(folder) as journal:
        job = work(journal, SHORT, say=lambda s, now: next(said, None) if s.view(now)["phase"] == "doing" else None)
        entries = journal.read(job).entries
    return folder, job, entries


FORGED = ("heard", "counted", "hazard_acknowledged", "tightened", "note", "step_done")


@pytest.mark.parametrize(
    ("form", "kind"),
    [(form, kind) for form in ("html", "json", "csv") for kind in FORGED]
    + [("pdf", kind) for kind in ("counted", "tightened", "note")],  # seconds each
)
def test_the_entry_that_was_forged_is_named(many_kinds, tmp_path, monkeypatch, form, kind, capsys):
    """The whole record is made anew of an entry that says something else, with the hashes and the mark as they were."""
    folder, job, entries = many_kinds
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    true = next(entry for entry in reversed(entries) if entry.kind == kind)
    changes = {
        "heard": {"intent": "no"}, "counted": {"count": 5},
        "hazard_acknowledged": {"word": "notice"},
        "tightened": {"reading": {"value": "9", "unit": "N·m"}}, "note": {"text": "all was well"},
    }  # fmt: skip
    data = true.data | changes.get(kind, {})
    forged = replace(true, data=data, at_ms=true.at_ms + (60_000 if kind == "step_done" else 0))
    file = tmp_path / f"forged.{form}"
    file.write_bytes(make(job, [forged if e is true else e for e in entries], paper="a4").form(form))
    assert verify_record(str(file)) is Exit.DIFFERENT
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1
    assert f": entry {true.seq} does not fit. The journal gives" in said


def test_a_table_of_a_page_that_was_changed_is_told_with_its_entry(many_kinds, tmp_path, monkeypatch, capsys):
    """Only the row of a step is changed; the list of entries below it is as it was."""
    folder, job, entries = many_kinds
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    made = make(job, entries, paper="a4")
    page = made.form("html").decode()
    done = next(row for row in made.record.steps if "counted out: 4 of 4" in " ".join(row.results))
    changed = page.replace("counted out: 4 of 4", "counted out: 3 of 4", 1)
    for form, content in (("html", changed.encode()), ("pdf", as_pdf(changed, made.mark))):
        file = tmp_path / f"changed.{form}"
        file.write_bytes(content)
        assert verify_record(str(file)) is Exit.DIFFERENT
        said = capsys.readouterr().err
        assert f"entry {done.entry} does not fit" in said
        assert "3of4" in said.replace(" ", "")


def test_a_heading_that_was_changed_is_not_laid_to_the_row_above_it(many_kinds, tmp_path, monkeypatch, capsys):
    folder, job, entries = many_kinds
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    page = make(job, entries, paper="a4").form("html").decode()
    (tmp_path / "r.html").write_text(page.replace("<h3>Refit</h3>", "<h3>Report</h3>"), "utf-8", newline="")
    assert verify_record(str(tmp_path / "r.html")) is Exit.DIFFERENT
    assert "what stands there, outside of the single entries, does not fit" in capsys.readouterr().err


def test_a_pdf_with_all_its_words_but_another_picture_does_not_pass(many_kinds, tmp_path, monkeypatch, capsys):
    folder, job, entries = many_kinds
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    made = make(job, entries, paper="a4")
    wider = re.sub(r'class="worked" style="width:[\d.]+%', 'class="worked" style="width:1%', made.form("html").decode())
    (tmp_path / "r.pdf").write_bytes(as_pdf(wider, made.mark))
    assert verify_record(str(tmp_path / "r.pdf")) is Exit.DIFFERENT
    assert "has the right words on all pages, but a picture" in capsys.readouterr().err


def test_an_end_that_was_cut_off_is_found_by_a_record(finished, tmp_path, capsys):
    """What the journal alone cannot show: the last entries are gone, and the note of the end with them."""
    home, job = finished
    file = tmp_path / "r.csv"
    write.write_record(job, RecordOptions(csv=file))
    assert verify_record(job) is Exit.OK
    assert "The job was closed with entry" in capsys.readouterr().out
    ((last,),) = rows(journal_path(home), "SELECT max(seq) FROM entry WHERE job = ?", job)
    tamper(
        journal_path(home),
        f"DELETE FROM entry WHERE job = '{job}' AND seq > {last - 2}",
        f"UPDATE head SET (seq, hash) = (SELECT seq, hash FROM entry WHERE seq = {last - 2})",
    )
    assert verify_record(job) is Exit.OK
    assert "is not closed. It ends where the journal noted its end; only a record" in capsys.readouterr().out
    assert verify_record(str(file)) is Exit.DIFFERENT
    assert f"entry {last - 1} does not fit. The journal ends before it: its end was cut off" in capsys.readouterr().err


def test_an_older_record_still_fits_and_is_told_to_be_older(finished, tmp_path, capsys):
    _, job = finished
    file = tmp_path / "r.html"
    write.write_record(job, RecordOptions(html=file))
    assert write.add_correction(job, 3, "it was the other way round", "A. Person") is Exit.OK
    capsys.readouterr()
    assert verify_record(str(file)) is Exit.OK
    assert "Since then 1 entry was added to the job" in capsys.readouterr().out
    write.write_record(job, RecordOptions(html=file, force=True))
    assert "correction to entry 3: it was the other way round" in file.read_text("utf-8")


def test_a_record_of_the_form_before_still_fits_and_a_changed_one_does_not(home, tmp_path, capsys):
    """Form 2 has neither the minutes of extra work nor how often bolts were tightened again."""
    load("helping-hands", home)
    file = tmp_path / "r.json"
    write.write_record("last", RecordOptions(json=file))
    record = json.loads(file.read_text("utf-8"))
    for row in record["extra"]:
        del row["minutes"], row["seconds"], row["corrected"]
    for row in record["fasteners"]:
        del row["again"], row["again_at_most"]
    for row in record["notes"]:
        del row["corrected"]
    record["format"] = "job record 2"
    old = json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    file.write_text(old, "utf-8", newline="")
    assert verify_record(str(file)) is Exit.OK, capsys.readouterr()
    file.write_text(old.replace("Ben Fisher", "Ben Frost"), "utf-8", newline="")
    assert verify_record(str(file)) is Exit.DIFFERENT


def test_a_record_that_knew_no_corrected_findings_still_fits(home, tmp_path, capsys):
    """Form 4 has nothing of them; the job has an answer of the customer, as it was stored before them."""
    load("customer-page", home)
    file = tmp_path / "r.json"
    write.write_record("last", RecordOptions(json=file))
    record = json.loads(file.read_text("utf-8"))
    assert len(record["extra"]) == 3
    for row in record["extra"]:
        del row["corrected"]
    record["format"] = "job record 4"
    file.write_text(json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True) + "\n", "utf-8", newline="")
    assert verify_record(str(file)) is Exit.OK, capsys.readouterr()


def test_a_record_of_another_history_is_found(finished, tmp_path, capsys):
    _, job = finished
    file = tmp_path / "r.csv"
    write.write_record(job, RecordOptions(csv=file))
    text = file.read_text("utf-8")
    head = re.search(r"head=([0-9a-f]{64})", text)[1]
    file.write_text(text.replace(head, head[::-1]), "utf-8", newline="")
    assert verify_record(str(file)) is Exit.DIFFERENT
    assert "is not the one that" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("work_it", "code", "said"),
    [
        (
            lambda p: write.write_record("nix", RecordOptions(html=p / "x")),
            Exit.JOURNAL,
            'no job "nix"',
        ),
        (lambda p: write.write_record("last", RecordOptions()), Exit.USAGE, "Say what to write"),
        (
            lambda p: write.write_record("last", RecordOptions(csv=p / "a" / "b")),
            Exit.OUTPUT,
            "is not there",
        ),
        (
            lambda p: write.write_record("1", RecordOptions(csv=p / "made")),
            Exit.OUTPUT,
            "there already",
        ),
        (lambda p: write.add_correction("1", 9999, "x", ""), Exit.USAGE, "see assistant show 1"),
        (lambda p: write.add_correction("1", 1, " ", ""), Exit.USAGE, "needs words"),
        (lambda p: write.add_supply("1", "gasket", "", "31.1.2027"), Exit.USAGE, "is no day of the calendar"),
        (lambda p: verify_record(str(p / "made")), Exit.JOURNAL, "is no job record"),
        (lambda p: write.add_correction("nix", 1, "x", ""), Exit.JOURNAL, 'no job "nix"'),
    ],
)
def test_bad_input_gets_one_sentence(finished, tmp_path, capsys, work_it, code, said):
    (tmp_path / "made").write_text("something else")
    capsys.readouterr()
    assert work_it(tmp_path) is code
    err = capsys.readouterr().err
    assert said in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize(
    ("item", "expires", "says"),
    [  # the Gregorian calendar: 2027 is no leap year, 2028 is one
        ("cleaner", "2027-13", "is no day of the calendar"),
        ("cleaner", "2027-00", "is no day of the calendar"),
        ("cleaner", "2027-02-29", "is no day of the calendar"),
        ("cleaner", "2027-02-31", "is no day of the calendar"),
        ("cleaner", "0000-01", "is no day of the calendar"),
        ("cleaner", "2027-1", "is no day of the calendar"),
        ("sealant", "2027-01", 'no supply or spare "sealant": name one of cleaner, rags, gasket.'),
    ],
)
def test_a_day_or_a_supply_that_does_not_exist_is_refused_and_nothing_is_written(finished, capsys, item, expires, says):
    home, job = finished
    before = len(entries(home, job))
    assert write.add_supply("1", item, "L17", expires) is Exit.USAGE
    assert says in capsys.readouterr().err
    assert len(entries(home, job)) == before


@pytest.mark.parametrize("expires", ["2027-12", "2028-02-29"])
def test_a_supply_of_the_procedure_is_written_with_its_day(finished, expires):
    home, job = finished
    assert write.add_supply("1", "cleaner", "L18", expires) is Exit.OK
    last = entries(home, job)[-1]
    assert (last.kind, last.data["supply"], last.data["expires"]) == ("supply_used", "cleaner", expires)


def entries(home, job):
    with open_journal(home, read_only=True) as journal:
        return journal.read(job).entries


def test_a_full_disk_gets_one_sentence(finished, capsys):
    from pathlib import Path

    assert write.write_record("1", RecordOptions(html=Path("/dev/full"))) is Exit.OUTPUT
    assert "No space left on device" in capsys.readouterr().err
