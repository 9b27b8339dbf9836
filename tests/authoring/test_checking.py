"""What ``assistant check`` prints and how it ends, for people, programs and review pages."""

import io
import json
import re
import zipfile
from pathlib import Path

import jsonschema
import openpyxl
import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.procedure.rules.table import all_rules
from assistant.terminal.exits import Exit
from tests.procedure.hostile import BYTES
from tests.procedure.test_bad_files import BAD
from tests.procedure.test_good_files import BENCH

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))
WAIVED = ROOT / "procedures" / "coolant-pump-cover.yaml"


def check(*arguments):
    return CliRunner().invoke(app, ["check", *map(str, arguments)])


def test_the_demos_have_no_finding_and_the_waived_ones_are_listed_with_their_reason():
    done = check(*DEMOS)
    assert done.exit_code == Exit.OK
    findings = [line for line in done.stdout.splitlines() if re.search(r": (error|warning): ", line)]
    assert findings == []
    assert len(re.findall(r": waived: .* Reason: ", done.stdout)) == 2
    assert done.stdout.splitlines()[-1] == f"{len(DEMOS)} checked: 0 errors, 0 warnings, 2 waived."


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["../good/bench-check"], Exit.OK),
        (["sentence-length"], Exit.WARNINGS),
        (["unit"], Exit.PROCEDURE),
        (["sentence-length", "unit"], Exit.PROCEDURE),
    ],
)
def test_the_exit_code_tells_clean_warnings_and_errors(names, code):
    files = [BENCH.parents[1] / "bad" / f"{name}.yaml" for name in names]
    for form in ("text", "json", "sarif", "github"):
        assert check(*files, "--format", form).exit_code == code


def test_all_findings_of_all_files_are_sorted_and_each_can_be_jumped_to():
    done = check(*reversed(BAD))
    line = re.compile(
        r"(?P<file>.+\.yaml):(?P<line>\d+):(?P<column>\d+): (?P<level>error|warning): .+ \[(?P<rule>.+)\]"
    )
    found = [match for match in map(line.fullmatch, done.stdout.splitlines()) if match]
    keys = [(m["file"], int(m["line"]), int(m["column"]), m["level"], m["rule"]) for m in found]
    assert keys == sorted(keys)
    assert {key[0] for key in keys} == set(map(str, BAD))
    text = done.stdout.splitlines()[-1]
    errors, warnings = (sum(key[3] == level for key in keys) for level in ("error", "warning"))
    assert text.startswith(f"{len(BAD)} checked: {errors} errors, {warnings} warnings")


def test_json_has_every_finding_and_who_approved():
    found = json.loads(check(*BAD, WAIVED, "--format", "json").stdout)
    assert found["checked"] == len(BAD) + 1
    assert found["errors"] == sum(one["level"] == "error" for one in found["findings"])
    assert found["warnings"] == sum(one["level"] == "warning" for one in found["findings"])
    assert set(found["findings"][0]) == {"file", "line", "column", "level", "rule", "text", "reason", "advice"}
    for one in found["findings"]:
        assert one["reason"], one
        assert one["text"].startswith(one["reason"][:400])
        assert one["advice"][-200:] in one["text"]
    assert {one["rule"] for one in found["findings"]} <= set(all_rules())
    assert [one["rule"] for one in found["waived"] if one["file"] == str(WAIVED)] == ["closing-leaks", "closing-levels"]
    written = [one["waiver"] for one in found["waived"] if one["file"] == str(WAIVED)]
    assert [one.partition(";")[0] for one in written] == ["The practice engine stays dry after this lesson"] * 2
    (demo,) = [one for one in found["procedures"] if one["file"] == str(WAIVED)]
    assert demo["approved"] is True
    assert set(demo["approval"]) == {"by", "on", "content"}


# Of SARIF 2.1.0 (OASIS Standard, 27 March 2020; sections from memory): what a log must have, and what it may.
MESSAGE = {"type": "object", "required": ["text"], "properties": {"text": {"type": "string", "minLength": 1}}}  # 3.11
SARIF = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": ["version", "runs"],  # 3.13.2, 3.13.4
    "properties": {
        "$schema": {"type": "string", "format": "uri"},  # 3.13.3
        "version": {"const": "2.1.0"},
        "runs": {"type": "array", "items": {"$ref": "#/$defs/run"}},
    },
    "additionalProperties": False,
    "$defs": {
        "run": {  # 3.14
            "type": "object",
            "required": ["tool"],
            "properties": {
                "tool": {
                    "type": "object",
                    "required": ["driver"],
                    "properties": {"driver": {"$ref": "#/$defs/driver"}},
                },
                "columnKind": {"enum": ["utf16CodeUnits", "unicodeCodePoints"]},  # 3.14.17
                "results": {"type": "array", "items": {"$ref": "#/$defs/result"}},
            },
            "additionalProperties": False,
        },
        "driver": {  # 3.19
            "type": "object",
            "required": ["name"],
            "properties": {
                "name": {"type": "string"},
                "version": {"type": "string"},
                "rules": {"type": "array", "uniqueItems": True, "items": {"$ref": "#/$defs/rule"}},
            },
            "additionalProperties": False,
        },
        "rule": {  # 3.49
            "type": "object",
            "required": ["id"],
            "properties": {"id": {"type": "string"}, "shortDescription": MESSAGE},
            "additionalProperties": False,
        },
        "result": {  # 3.27
            "type": "object",
            "required": ["message"],
            "properties": {
                "ruleId": {"type": "string"},
                "ruleIndex": {"type": "integer", "minimum": 0},
                "level": {"enum": ["none", "note", "warning", "error"]},  # 3.27.10
                "message": MESSAGE,
                "locations": {"type": "array", "items": {"$ref": "#/$defs/location"}},
                "suppressions": {"type": "array", "items": {"$ref": "#/$defs/suppression"}},
            },
            "additionalProperties": False,
        },
        "location": {  # 3.28, 3.29, 3.4, 3.30
            "type": "object",
            "properties": {
                "physicalLocation": {
                    "type": "object",
                    "required": ["artifactLocation"],
                    "properties": {
                        "artifactLocation": {
                            "type": "object",
                            "properties": {
                                "uri": {"type": "string", "pattern": r"^[A-Za-z0-9._~:/?#@!$&'()*+,;=%-]+$"}
                            },
                            "additionalProperties": False,
                        },
                        "region": {
                            "type": "object",
                            "required": ["startLine"],
                            "properties": {
                                "startLine": {"type": "integer", "minimum": 1},
                                "startColumn": {"type": "integer", "minimum": 1},
                            },
                            "additionalProperties": False,
                        },
                    },
                    "additionalProperties": False,
                }
            },
            "additionalProperties": False,
        },
        "suppression": {  # 3.35
            "type": "object",
            "required": ["kind"],
            "properties": {
                "kind": {"enum": ["inSource", "external"]},
                "status": {"enum": ["accepted", "underReview", "rejected"]},
                "justification": {"type": "string"},
            },
            "additionalProperties": False,
        },
    },
}


def test_sarif_is_a_log_of_the_standard_with_every_finding(tmp_path):
    strange = tmp_path / "a b%20ü.yaml"  # a name that must be written in another way in a URI (RFC 3986, 2.1)
    strange.write_bytes(b"")
    log = json.loads(check(*BAD, WAIVED, strange, "--format", "sarif").stdout)
    jsonschema.Draft202012Validator(SARIF).validate(log)
    (run,) = log["runs"]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert rules == list(all_rules())
    for result in run["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]  # 3.27.6: both name one rule
    found = json.loads(check(*BAD, WAIVED, strange, "--format", "json").stdout)
    plain = [result for result in run["results"] if "suppressions" not in result]
    assert [(r["ruleId"], r["level"], r["message"]["text"]) for r in plain] == [
        (one["rule"], one["level"], one["text"]) for one in found["findings"]
    ]
    hidden = [result["suppressions"][0]["justification"] for result in run["results"] if "suppressions" in result]
    assert hidden == [one["waiver"] for one in found["waived"]]
    uris = [r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for r in run["results"]]
    assert strange.as_uri() in uris
    assert strange.as_uri().endswith("/a%20b%2520%C3%BC.yaml")


def test_review_lines_escape_what_would_end_them(tmp_path):
    """GitHub's workflow commands write % and line ends, and in properties : and , with percent signs (from memory)."""
    odd = tmp_path / "a,b:c%.yaml"
    odd.write_text("procedure: '100 %: a'\n", "utf-8")
    lines = check(odd, "--format", "github").stdout.splitlines()
    assert lines
    command = re.compile(r"::(error|warning|notice) file=([^,:]+),line=\d+,col=\d+,title=[a-z-]+::(.+)")
    for line in lines:
        match = command.fullmatch(line)
        assert match, line
        assert match[2] == str(odd).replace("%", "%25").replace(":", "%3A").replace(",", "%2C")


def spreadsheet():
    book, out = openpyxl.Workbook(), io.BytesIO()
    book.active.append(["bolt", "torque"])
    book.save(out)
    return out.getvalue()


def archive():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr("procedure.yaml", BENCH.read_bytes())
    return out.getvalue()


STRANGE = {
    "a spreadsheet": spreadsheet(),
    "an archive": archive(),
    "a table": b"bolt;torque;unit\n1;24;Nm\n2;24;Nm\n",
    "a page": b"<!DOCTYPE html><html><body><p>24 Nm</p></body></html>",
    "a letter": b"Dear Sir,\nplease tighten the bolts: all of them.\n",
    "a program": b"import os\nos.system('echo harm')\n",
    "JSON": b'{"procedure": {"id": "a"}, "chapters": 7}',
} | {f"hostile: {name}": BYTES[name] for name in ("alias bomb", "binary", "nothing", "deep lists", "UTF-16", "image")}


@pytest.mark.parametrize("name", STRANGE)
def test_what_is_no_procedure_gets_findings_and_never_a_traceback(name, tmp_path):
    file = tmp_path / "strange.yaml"
    file.write_bytes(STRANGE[name])
    for form in ("text", "json", "sarif", "github"):
        done = check(file, "--format", form)
        assert done.exit_code == Exit.PROCEDURE, done.output
        assert done.exception is None or isinstance(done.exception, SystemExit)
        assert "Traceback" not in done.output
    assert file.read_bytes() == STRANGE[name]


def test_files_that_are_not_there_and_folders_are_findings_beside_the_others(tmp_path):
    done = check(tmp_path / "missing.yaml", tmp_path, BENCH)
    assert done.exit_code == Exit.PROCEDURE
    assert "3 checked: 2 errors, 0 warnings." in done.stdout
