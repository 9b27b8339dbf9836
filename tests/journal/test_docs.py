"""docs/journal.md and its schema tell the truth: commands, hashes, every kind of entry, and what is exported."""

import copy
import json
import re
import shutil
import subprocess
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from assistant import facts
from assistant.__main__ import app
from assistant.facts.page import page_written
from assistant.facts.store import fact_classes
from assistant.journal.sqlite.file import APPLICATION_ID, FORMAT
from tests.journal.conftest import notes
from tests.journal.golden import NAMES, load

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "journal.md").read_text("utf-8")
SCHEMA = json.loads((DOCS / "journal.schema.json").read_text("utf-8"))
CHECKER = jsonschema.Draft202012Validator(SCHEMA, format_checker=jsonschema.FormatChecker())


@pytest.mark.skipif(
    shutil.which("sqlite3") is None, reason="the sqlite3 command is not installed: apt-get install sqlite3"
)
@pytest.mark.parametrize("seq", [1, 2, 7])
def test_the_commands_to_check_by_hand_give_the_stored_hash(path, job, seq):
    notes(job, 10)
    (block,) = re.findall(r"```sh\n(.*?)```", PAGE, re.DOTALL)
    script = block.replace("bay1-2026-11-26-3", job.id).replace("seq = 7", f"seq = {seq}")
    out = subprocess.run(["bash", "-c", script], cwd=path.parent, capture_output=True, text=True, check=True).stdout
    wanted, stored = out.split("-\n")
    assert wanted.strip() == stored.strip() == job.entries()[seq - 1].hash


def test_the_numbers_that_mark_the_file_are_on_the_page():
    assert (
        f"`PRAGMA application_id` is {APPLICATION_ID} and `PRAGMA user_version` is the format, now {FORMAT}"
        in " ".join(PAGE.split())
    )


@pytest.mark.parametrize("name", ["journal.md", "journal.schema.json"])
def test_they_are_made_from_the_classes_as_they_are(name):
    text = (DOCS / name).read_text("utf-8")
    assert page_written(name, text) == text, f"make it anew: python -m assistant.facts.page docs/{name}"


def test_the_page_names_every_kind_and_marks_what_is_personal():
    for kind in fact_classes():
        (row,) = re.findall(rf"^\| `{kind}`.*\|$", PAGE, re.MULTILINE)
        marked = re.findall(r"`(\w+)` [^;|]*\*", row.rsplit(" | ", 1)[1])
        assert tuple(marked) == facts.personal_fields(kind)


def test_no_link_of_the_page_is_dead():
    links = re.findall(r"\]\(([^)#\s]+)[^)]*\)", PAGE)
    assert len(links) > 5
    assert [link for link in links if "://" not in link and not (DOCS / link).exists()] == []


# The schema; jsonschema is the library of the specification's test suite, and nothing of ours


@pytest.fixture(scope="module", params=NAMES)
def exported(request, tmp_path_factory):
    """A golden job, as the command prints it."""
    home = load(request.param, tmp_path_factory.mktemp("golden"))
    return json.loads(_show(home, "last", "--json"))


def _show(home, *words):
    result = CliRunner().invoke(app, ["show", *words], env={"ASSISTANT_HOME": str(home)})
    assert result.exit_code == 0, result.output
    return result.stdout


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_stored_job_is_as_the_schema_has_it(exported):
    assert [error.message for error in CHECKER.iter_errors(exported)] == []
    assert {entry["kind"] for entry in exported["entries"]} <= fact_classes().keys()


def test_what_came_behind_an_entry_is_as_the_schema_has_it(tmp_path):
    behind = json.loads(_show(load("hub-drive", tmp_path), "last", "--behind", "300", "--json"))
    assert behind["entries"][0]["entry"] == 301
    assert [error.message for error in CHECKER.iter_errors(behind)] == []


@pytest.fixture(scope="module")
def bolts(tmp_path_factory):
    """A golden job with bolts, as the command prints it."""
    return json.loads(_show(load("side-cover", tmp_path_factory.mktemp("golden")), "last", "--json"))


def _change(entry, key, value):
    entry[key] = value


@pytest.mark.parametrize(
    ("kind", "change", "told"),
    [
        ("tightened", lambda entry: _change(entry["data"], "colour", "red"), "'colour' was unexpected"),
        ("tightened", lambda entry: _change(entry["data"]["limits"], "least", "1"), "'least' was unexpected"),
        ("tightened", lambda entry: _change(entry, "hash", "0"), "'hash' was unexpected"),
        ("heard", lambda entry: _change(entry["data"], "confidence", 0.5), "0.5 is not of type 'string'"),
        ("heard", lambda entry: _change(entry["data"], "confidence", "half"), "does not match"),
        ("tightened", lambda entry: entry["data"].pop("bolts"), "'bolts' is a required property"),
        ("tightened", lambda entry: _change(entry, "version", 2), "2 is greater than the maximum of 1"),
        ("tightened", lambda entry: _change(entry, "kind", "torqued"), "'torqued' is not one of"),
        ("refused", lambda entry: _change(entry["data"], "why", "tired"), "'tired' is not one of"),
        ("asked", lambda entry: _change(entry["data"]["question"], "what", "who"), "is not valid under any"),
        ("asked", lambda entry: _change(entry["data"]["question"], "who", "me"), "is not valid under any"),
    ],
)
def test_the_schema_refuses_what_no_entry_has(bolts, kind, change, told):
    """Each of these is one change of an entry that is good."""
    entry = copy.deepcopy(next(entry for entry in bolts["entries"] if entry["kind"] == kind))
    assert CHECKER.is_valid({"entries": [entry]})
    change(entry)
    messages = [error.message for error in CHECKER.iter_errors({"entries": [entry]})]
    assert len(messages) == 1
    assert told in messages[0]


def test_the_schema_refuses_more_around_the_entries():
    assert CHECKER.is_valid({"entries": [], "good": True, "sentence": ""})
    assert not CHECKER.is_valid({"entries": [], "good": True, "sentence": "", "record": True})
