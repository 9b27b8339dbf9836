"""Keys that were called otherwise before: a copy that a job keeps is read without a word, a file with its new names."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.procedure.findings import Level
from assistant.procedure.format.document import to_yaml
from assistant.procedure.format.reader import read_kept, read_text

OLD = sorted((Path(__file__).parents[1] / "bay" / "old_jobs").glob("*.jsonl"))


def kept(path: Path) -> bytes:
    """Return the procedure in the first entry of a job that was written before the names changed."""
    opened = json.loads(path.read_text("utf-8").splitlines()[0])
    return opened["data"]["procedure_yaml"].encode()


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.stem)
def test_a_copy_in_an_old_job_is_read_with_all_its_steps_and_nothing_said(path):
    data = kept(path)
    assert b"\nparts:\n" in data
    reading = read_kept(data, "kept")
    assert reading.findings == ()
    names = [chapter.name for chapter in reading.procedure.chapters]
    assert names in (["Strip", "Clean and check", "Refit"], ["Strip", "Refit"])
    hours = next((line.split()[1] for line in data.decode().splitlines() if line.startswith("  hours:")), None)
    assert reading.procedure.book_time == (None if hours is None else float(hours) * 3600)


def test_the_same_in_a_file_is_used_and_says_the_new_names():
    data = kept(next(path for path in OLD if path.stem == "gearbox-side-cover-2"))
    reading = read_text(data, "old.yaml")
    told = [finding for finding in reading.findings if finding.rule == "renamed-key"]
    assert [finding.text.rsplit("write ")[-1] for finding in told] == [
        "book_time, with a unit, such as 2 h 30 min.", "chapters.", "chapter."
    ]  # fmt: skip
    assert {finding.level for finding in told} == {Level.WARNING}
    again = read_kept(to_yaml(reading.procedure).encode(), "new").procedure
    assert (again.chapters[0].name, again.book_time) == ("Strip", 1800)


def test_an_old_name_beside_the_new_one_is_an_error():
    data = b"procedure: {id: a, hours: 2, book_time: 2 h}"
    assert [finding.rule for finding in read_text(data, "both").findings if "hours" in finding.text] == ["unknown-key"]


def test_a_refit_of_an_old_file_is_drafted_into_it(tmp_path):
    path = tmp_path / "old.yaml"
    text = kept(next(path for path in OLD if path.stem == "gearbox-side-cover-2")).decode()
    strip, closing = text.index("  - part: Refit"), text.index("closing:")
    path.write_text(text[:strip] + text[closing:], "utf-8")
    result = CliRunner().invoke(app, ["refit", str(path)])
    assert result.exit_code == 0, result.output
    assert "  - part: Strip\n" in result.output
    assert "  - chapter: Refit\n" in result.output
