"""Files that mean harm are refused with a line, quickly, and within a bound of memory."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.procedure.format.reader import read_procedure, read_text
from tests.procedure.hostile import BYTES, GOOD

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def report():
    """What a process of its own said about all hostile files, so that its time and memory are its own."""
    command = [sys.executable, "-m", "tests.procedure.hostile"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=110)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.parametrize("name", BYTES)
def test_a_hostile_file_is_refused_with_a_line_within_two_seconds(report, name):
    file = report["files"][name]
    assert file["refused"]
    assert file["findings"]
    lines = BYTES[name].count(b"\n") + BYTES[name].count(b"\r") + 1
    assert all(1 <= line <= lines and column >= 1 and len(text) < 900 for line, column, text in file["findings"])
    assert file["seconds"] < 2


def test_all_hostile_files_together_stay_under_500_megabytes(report):
    assert report["peak_kib"] < 500 * 1000


def test_there_is_an_end_to_findings():
    findings = read_text(BYTES["nearly known keys"], "x").findings
    assert len(findings) == 101
    assert findings[-1].text.startswith("There are 23900 findings more")


@pytest.mark.parametrize(
    ("name", "place", "part"),
    [
        ("Latin-1", (GOOD[: GOOD.index("·".encode())].count(b"\n") + 1, None), "0xb7 is not UTF-8"),
        ("UTF-16", (1, 1), "UTF-16: save it as UTF-8"),
        ("nul bytes", (2, 7), "NUL"),
        ("turned text", (5, 16), "U+202E"),
        ("alias bomb", (1, 5), "anchor &b0"),
        ("object tag", (1, 12), "The tag"),
        ("ten megabytes", (1, 1), "longer than 1,000,000 bytes"),
    ],
)
def test_a_finding_says_what_and_where(name, place, part):
    first = next(finding for finding in read_text(BYTES[name], "x").findings if part in finding.text)
    assert first.line == place[0]
    assert place[1] in {None, first.column}


def test_an_object_tag_makes_no_object(tmp_path):
    target = tmp_path / "harm"
    read_text(f"procedure: !!python/object/apply:os.mkdir ['{target}']\n".encode(), "x")
    assert not target.exists()


def test_a_ten_megabyte_file_on_disk_is_not_read_to_its_end(tmp_path):
    path = tmp_path / "big.yaml"
    path.write_bytes(GOOD)
    os.truncate(path, 10_000_000_000)
    (finding,) = read_procedure(path).findings
    assert finding.rule == "file-size"


def test_what_is_no_file_is_a_finding_with_the_reason(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    for path, part in [
        (tmp_path / "missing.yaml", "No such file"),
        (tmp_path, "is a folder"),
        (tmp_path / "pipe", "not a regular file"),
        (Path("a\0b"), "not a file name"),
        (tmp_path / ("n" * 5000), "cannot be read"),
    ]:
        (finding,) = read_procedure(path).findings
        assert finding.rule == "file"
        assert part in finding.text
        assert read_procedure(path).procedure is None


def test_a_byte_order_mark_and_windows_line_ends_are_read_with_the_same_lines():
    plain = read_text(GOOD, "x").procedure
    windows = read_text(b"\xef\xbb\xbf" + GOOD.replace(b"\n", b"\r\n"), "x").procedure
    assert plain is not None
    assert windows is not None
    assert [step.line for step in windows.steps] == [step.line for step in plain.steps]
