"""What is no file, and what is far too much of one thing, gets one sentence from every command at once."""

import os
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.files import FileFault, look_at_file, read_file
from tests.files.kinds import ROOT

PROCEDURE = ROOT / "tests/procedure/good/bench-check.yaml"
TOOLS = ROOT / "procedures/tools/practice-bay.yaml"
COMMANDS = {
    "check": ("check", "FILE"),
    "tools": ("tools", "FILE"),
    "import": ("import", "FILE"),
    "refit": ("refit", "FILE"),
    "a list of recordings": ("test-hearing", "FILE"),
    "a procedure": ("run", "FILE"),
    "a bay's tools": ("run", str(PROCEDURE), "--tools", "FILE"),
}


def said(home: Path, *words: str) -> tuple[int, str]:
    """Run a command and return its exit code and what it says."""
    begun = time.process_time()
    result = CliRunner().invoke(app, [*words], env={"ASSISTANT_HOME": str(home)})
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert time.process_time() - begun < 5
    return result.exit_code, result.output


@pytest.fixture(params=["device", "pipe", "folder", "link to a pipe", "longest name"])
def no_file(request, tmp_path):
    """Something that has a name and is no file that ends."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    names = {
        "device": Path("/dev/zero"), "pipe": tmp_path / "pipe", "folder": tmp_path, "link to a pipe": tmp_path / "link",
        "longest name": tmp_path / ("n" * 5000),
    }  # fmt: skip
    return names[request.param]


@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_no_file_is_refused_and_not_waited_for(tmp_path, no_file, command):
    code, output = said(tmp_path / "home", *(str(no_file) if word == "FILE" else word for word in COMMANDS[command]))
    assert code in (2, 4)  # 2: an option of so many letters is refused before it is looked at
    assert any(part in output for part in ("regular file", "folder", "too long", "at most 1000 letters")), output


def test_settings_that_are_a_pipe_or_a_device_are_refused(tmp_path):
    os.mkfifo(tmp_path / "settings.toml")
    code, output = said(tmp_path, "tools")
    assert (code, "not a regular file" in output) == (2, True)
    (tmp_path / "settings.toml").unlink()
    (tmp_path / "settings.toml").symlink_to("/dev/zero")
    code, output = said(tmp_path, "tools")
    assert (code, "not a regular file" in output) == (2, True)


@pytest.mark.parametrize(
    "text",
    [
        "rate = " + "[" * 20_000,
        "rate = " + "9" * 60_000,
        "rate = 0x" + "f" * 50_000,
        "x = {" * 5000,
        "operator = '" + "a" * 50_000 + "'",
        "a" * 50_000 + " = 1",
        'operator = "\\u0007"',
    ],
    ids=["brackets", "digits", "hexadecimal", "tables", "long", "long key", "bell"],
)
def test_settings_of_a_bad_day_get_one_sentence(tmp_path, text):
    (tmp_path / "settings.toml").write_text(text)
    code, output = said(tmp_path, "tools")
    assert code == 2
    assert str(tmp_path / "settings.toml") in output
    assert len(output) < 500
    assert output.count("\n") == 1


@pytest.mark.parametrize("value", ["1e9999999", "1e-9999999", "9" * 5000, "-5", "0", "nan"])
@pytest.mark.parametrize("key", ["low", "high", "graduation", "uses"])
def test_a_tool_file_with_a_number_that_no_tool_has_is_refused_at_once(tmp_path, key, value):
    lines = TOOLS.read_text("utf-8").splitlines(keepends=True)
    at = next((n for n, line in enumerate(lines) if line.strip().startswith(f"{key}:")), None)
    if at is None:  # no wrench of the file has one
        at = next(n for n, line in enumerate(lines) if line.strip().startswith("high:")) + 1
        lines.insert(at, f"    {key}: 1\n")
    lines[at] = f"{lines[at].partition(':')[0]}: {value}\n"
    (tmp_path / "tools.yaml").write_text("".join(lines))
    code, output = said(tmp_path / "home", "tools", str(tmp_path / "tools.yaml"))
    if (key, value) == ("uses", "0"):
        assert code == 0
        return
    assert code == 4
    assert f"tools.yaml:{at + 1}:" in output


@pytest.mark.parametrize("old", ["12 N·m", "torque: 12", "Bench check", "bolts: 1-4", "revision: ", "quantity: "])
def test_five_thousand_digits_anywhere_in_a_procedure_are_findings(tmp_path, old):
    text = PROCEDURE.read_text("utf-8")
    new = f"{old.partition(':')[0]}: {'9' * 5000}" if ":" in old else f"{'9' * 5000} {old}"
    (tmp_path / "long.yaml").write_text(text.replace(old, new) if old in text else f"{text}{new}\n")
    code, output = said(tmp_path / "home", "check", str(tmp_path / "long.yaml"))
    assert code == 4
    assert all(len(line) < 1200 for line in output.splitlines())


@pytest.mark.parametrize(
    "line",
    [f"{'a' * 200_000}\tnext\tme\t1", f"a.wav\t{'9' * 5000}\tme\t1", f"a.wav\tnext\t{'m' * 200_000}\t1",
     f"{'n/' * 400}.wav\tnext\tme\t1", "a\0.wav\tnext\tme\t1"],
    ids=["path", "label", "speaker", "name", "nul"],
)  # fmt: skip
def test_giant_fields_of_a_list_of_recordings_get_one_sentence(tmp_path, line):
    (tmp_path / "a.wav").touch()
    (tmp_path / "list.tsv").write_text(f"path\tlabel\tspeaker\tseconds\n{line}\n")
    code, output = said(tmp_path / "home", "test-hearing", str(tmp_path / "list.tsv"))
    assert code == 4
    assert output.count("\n") == 1
    assert len(output) < 1800


def test_what_was_opened_is_what_is_looked_at(tmp_path):
    (tmp_path / "one").write_bytes(b"0123456789")
    assert read_file(tmp_path / "one", 10, "x") == b"0123456789"
    fault = read_file(tmp_path / "one", 9, "the right one")
    assert isinstance(fault, FileFault)
    assert (fault.too_long, fault.sentence.endswith("name the right one")) == (True, True)
    assert look_at_file(tmp_path / "one", 3, "x") == (b"012", 10)
    missing = read_file(tmp_path / "none", 9, "x")
    assert isinstance(missing, FileFault)
    assert missing.missing
